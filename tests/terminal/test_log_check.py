"""eavewell log check: nothing to do ends with 0, something with 3, and what is new is told once."""

import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from eavewell.cli import app
from eavewell.faults import EavewellFault

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def log(tmp_path):
    """Runs a command on the log of a site; its exit code and what it printed."""
    shutil.copytree(EXAMPLES / "whole-house", tmp_path / "site")

    def run(*words):
        done = CliRunner().invoke(app, ["log", *words, "--site", str(tmp_path / "site")])
        if isinstance(done.exception, EavewellFault):
            raise done.exception
        return done.exit_code, " ".join(done.output.split())

    return run


def test_full_tanks_want_nothing_and_germs_in_the_water_do(log):
    log("level", "main", "84 in")
    log("level", "header", "60 in")
    assert log("check") == (0, "Nothing needs doing today.")
    log("test", "E. coli", "3 /100 mL", "--tap", "kitchen")
    code, said = log("check")
    assert code == 3
    assert said.startswith("E. coli: stop drinking it")
    with pytest.raises(EavewellFault, match="names nobody"):
        log("check", "--tell")


def test_a_low_tank_and_what_cannot_be_looked_at(log):
    log("note", "nothing was read yet")
    code, said = log("check")
    assert "Not looked at: " in said
    assert "Nothing is known to need doing" in said or code == 3
    log("level", "main", "20 in")
    log("level", "header", "10 in")
    code, said = log("check")
    assert code == 3
    assert "with no rain dry in" in said or "on ration" in said


ROD = """
[log]
zone = "America/Chicago"
[[log.gauge]]
name = "rod"
measures = "level"
of = "main"
how = "stick"
"""


def test_a_gauge_with_another_name_in_the_site_file_is_told_and_its_log_follows(log, tmp_path):
    file = tmp_path / "site" / "site.toml"
    text = file.read_text(encoding="utf-8") + ROD
    file.write_text(text, encoding="utf-8")
    log("level", "rod", "60 in")
    log("level", "header", "60 in")
    file.write_text(text.replace('"rod"', '"tank rod"'), encoding="utf-8")
    code, said = log("check")
    assert code == 3
    assert said.count("Readings of 'rod' stand in the log") == 1
    assert "eavewell log rename rod 'tank rod'" in log("show")[1]
    assert "Readings of 'rod' stand" not in log("show", "header")[1]
    leaks = CliRunner().invoke(app, ["leaks", str(tmp_path / "site")])
    assert "Readings of 'rod' stand" in " ".join(leaks.output.split())
    assert log("rename", "rod", "tank rod") == (
        0,
        "From 'rod' to 'tank rod': 1 reading.",
    )
    assert "Readings of 'rod' stand" not in log("check")[1] + log("show")[1]
