"""Commands on a standing site: what is due, tests, faults, the year; from a real log file."""

import json
import shutil
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import icalendar
import jsonschema
import pytest
from typer.testing import CliRunner

from eavewell.answers.schema import schema
from eavewell.cli import app
from eavewell.faults import EavewellFault
from eavewell.files.site.reader import read_site
from eavewell.logbook.store import open_log
from eavewell.site.entry import Done, Reading
from eavewell.site.entry import Tested as Entered
from eavewell.site.water import WaterTest
from eavewell.terminal.service_commands import service

EXAMPLE = Path(__file__).parents[2] / "examples" / "barrels"
TODAY = datetime.now(UTC)


@pytest.fixture
def folder(tmp_path):
    """A copy of an example."""
    return Path(shutil.copytree(EXAMPLE, tmp_path / "site"))


def run(*args):
    found = CliRunner().invoke(service, [str(one) for one in args])
    if found.exception is not None and not isinstance(found.exception, SystemExit):
        raise found.exception
    return found.output


def kept(folder, *entries):
    with open_log(read_site(folder / "site.toml")) as log:
        log.add(entries)


def ago(days):
    return TODAY - timedelta(days=days)


def test_without_a_log_the_plan_is_told_and_no_log_is_made(folder):
    plain = json.loads(run("due", folder, "--json", "-"))
    jsonschema.validate(plain, schema("due"))
    assert plain["overdue"] == 0
    assert not (folder / "log.db").exists()


def test_what_is_over_its_day(folder, tmp_path):
    kept(folder, Done("read the level", ago(20)))
    calendar = tmp_path / "due.ics"
    text = run("due", folder, "--ics", calendar)
    assert "Over its day" in text
    assert "13 days ago" in text
    events = icalendar.Calendar.from_ical(calendar.read_bytes()).walk("VEVENT")
    plain = json.loads(run("due", folder, "--json", "-"))
    assert len(events) == len(plain["due"])


def test_tests_of_the_log(folder):
    site = read_site(folder / "site.toml")
    day = (ago(3)).date()
    kept(folder, Entered(ago(3), WaterTest("turbidity", 1.0, day)))
    plain = json.loads(run("results", folder, "--json", "-"))
    jsonschema.validate(plain, schema("results"))
    every = [*plain["beside"], *(one for row in plain["tests"] for one in row["history"])]
    assert [one["of"] for one in every][:1] == ["turbidity"]
    assert site.name in run("results", folder)


def test_a_fault_narrowed_by_answers(folder):
    symptoms = json.loads(run("faults", folder, "--json", "-"))["symptoms"]
    assert "what is wrong?" in run("faults", folder)
    plain = json.loads(run("faults", folder, symptoms[0], "--said", "1=yes", "--json", "-"))
    jsonschema.validate(plain, schema("faults"))
    assert plain["causes"][-1]["state"] == "ruled out"
    with pytest.raises(EavewellFault, match="'1=perhaps': say the number of a cause"):
        run("faults", folder, symptoms[0], "--said", "1=perhaps")


def test_the_year_paper_is_written(folder):
    name = read_site(folder / "site.toml").tanks[0].name
    readings = [Reading(name, ago(day), 0.5) for day in range(1, 5)]
    kept(folder, *readings)
    number = ago(1).year
    text = run("year", folder, "--year", number, "--authority")
    file = folder / "papers" / f"year-{number}-authority.pdf"
    assert f"Wrote {file}" in text
    assert file.read_bytes().startswith(b"%PDF")
    plain = json.loads(run("year", folder, "--year", number, "--json", "-"))
    jsonschema.validate(plain, schema("year"))
    assert plain["from"] >= date(number, 1, 1).isoformat()


def test_a_year_without_a_log_is_refused(folder):
    with pytest.raises(EavewellFault, match="holds nothing of"):
        run("year", folder)


def test_the_site_prints_as_asked(folder):
    place = replace(read_site(folder / "site.toml").place, show="metric")
    plain = json.loads(run("due", folder, "--json", "-", "--show", "metric"))
    assert plain["show"] == place.show


@pytest.mark.parametrize("what", ["due", "results", "faults"])
def test_the_site_is_named_as_everywhere_in_the_log(folder, what):
    plain = run(what, folder, "--json", "-")
    assert run(what, "--site", folder, "--json", "-") == plain
    with pytest.raises(EavewellFault, match=r"Which site is meant, .* or elsewhere"):
        run(what, folder, "--site", "elsewhere")


def test_the_year_of_the_site_that_is_named(folder):
    with pytest.raises(EavewellFault, match="'Quailwater potting shed' holds nothing of"):
        run("year", "--site", folder)


def test_a_symptom_alone_and_after_its_site(folder, monkeypatch):
    asked = json.loads(run("faults", "no water", "--site", folder, "--json", "-"))
    assert asked["causes"]
    assert json.loads(run("faults", folder, "no water", "--json", "-")) == asked
    file = folder / "site.toml"
    assert json.loads(run("faults", file, "no water", "--json", "-")) == asked
    monkeypatch.chdir(folder)
    assert json.loads(run("faults", "no water", "--json", "-")) == asked
    with pytest.raises(EavewellFault, match="in quotation marks"):
        run("faults", "no", "water")


def test_they_are_commands_on_the_log():
    found = CliRunner().invoke(app, ["log", "--help"]).output
    for name in ("due", "results", "faults", "year"):
        assert f"\n  {name} " in found
