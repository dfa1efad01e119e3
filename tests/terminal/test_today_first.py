"""eavewell today says first until when the water lasts; the log is invented."""

import shutil
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from eavewell.cli import app

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def run(tmp_path):
    shutil.copytree(EXAMPLES / "whole-house", str(tmp_path / "site"))

    def told(*words):
        found = CliRunner().invoke(app, [*words])
        assert found.exit_code == 0, found.output
        return " ".join(found.output.split())

    morning = datetime.now().replace(hour=7, minute=0) - timedelta(days=1)
    for days in range(8, -1, -1):
        at = f"{morning - timedelta(days=days):%Y-%m-%d %H:%M}"
        told(
            "log",
            "level",
            "main",
            f"{40 + days / 2} in",
            "--at",
            at,
            "--site",
            str(tmp_path / "site"),
        )
    return lambda *words: told(*words, str(tmp_path / "site"))


def test_until_when_an_inch_and_what_reaches_a_month_stand_before_the_tanks(run):
    said = run("today")
    first, _, rest = said.partition("In the tanks")
    assert "main: lasts until" in first and "with no rain" in first
    assert "One inch of rain =" in first
    assert "use no more than" in first and "each" in first
    assert "main holds" in rest


def test_today_and_ahead_say_the_same(run):
    today, ahead = run("today"), run("ahead")
    for said in ("asts until ", "order for main below ", "One inch of rain = "):
        for one in today.split(said)[1:]:
            assert f"{said}{' '.join(one.split()[:4])}" in ahead
