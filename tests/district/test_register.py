"""The register of a folder: what a site shares and keeps, the round, the papers; all invented."""

import csv
import io
import json
import os
import shutil
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import icalendar
import jsonschema
import numpy as np
import openpyxl
import pytest
from pypdf import PdfReader

from eavewell.answers.schema import schema
from eavewell.district.metered import read_metered
from eavewell.district.register import read_register
from eavewell.district.register_answer import register_answer
from eavewell.district.register_papers import register_files
from eavewell.files.site.reader import read_site
from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.store import open_log
from eavewell.papers.board import board_blocks
from eavewell.site.entry import Done, Note, Outage
from eavewell.site.entry import Tested as Entered
from eavewell.site.water import WaterTest

BARRELS = Path(__file__).parents[2] / "examples" / "barrels"
NOW = datetime(2027, 6, 1, 18, tzinfo=UTC)
EVERYTHING = 'agreed = ["service", "tests", "use", "money", "age", "supply"]'
SECRET = "the key lies under the pot while we are away"
SHARED = {"site", "status", "last_reading", "shares", "says"}


def add(folder, name, *, share="", last=1, days=60, entries=()):
    """A site with a meter that counts 8 L a day up to so many days ago; last None begins no log."""
    one = folder / name
    shutil.copytree(BARRELS, one)
    text = (one / "site.toml").read_text(encoding="utf-8")
    text += """
[rules]
use = 2020-06-15
[log]
zone = "America/Chicago"
[[log.gauge]]
name = "counter"
measures = "meter"
how = "register"
unit = "L"
uses = ["bowl", "bed", "bucket and hose"]
"""
    text += f"[log.share]\n{share}\n" if share else ""
    (one / "site.toml").write_text(text, encoding="utf-8")
    if last is None:
        return one
    at = NOW - timedelta(days=last)
    at_utc = np.datetime64(at.replace(tzinfo=None), "ms") - np.arange(days)[::-1] * 86_400_000
    with open_log(read_site(one / "site.toml")) as log:
        log.add([ManyReadings("counter", at_utc, 8.0 * np.arange(days)), *entries], now=NOW)
    return one


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("valley")
    early = NOW - timedelta(days=200)
    cleaned = Done("clean the screens", NOW - timedelta(days=3), who="Kay")
    again = Done("clean the screens", NOW - timedelta(days=9))
    sick = Entered(early, WaterTest("E. coli", 4.0, early.date(), tap="tap"))
    add(folder, "alder", entries=[Note(NOW - timedelta(days=2), SECRET, who="Kay"), cleaned])
    all_of_it = f'{EVERYTHING}\ntown = "Tallgrass"'
    add(folder, "birch", share=all_of_it, entries=[cleaned, again, sick])
    add(folder, "cedar", share='agreed = ["service"]\ntown = "Fernridge"', last=100)
    add(folder, "dogwood", share='town = "Fernridge"', entries=[Outage("power", early)])
    add(folder, "elder", last=None)
    (add(folder, "fir") / "site.toml").write_text("name = [", encoding="utf-8")
    (folder / "notes").mkdir()
    return folder


@pytest.fixture(scope="module")
def answer(folder):
    return register_answer(read_register(folder, now=NOW))


def rows(answer):
    return {one["site"]: one for one in answer["sites"]}


def test_it_is_as_declared(answer):
    checked = jsonschema.FormatChecker()
    jsonschema.validate(answer, schema("register"), format_checker=checked)


def test_status_and_the_day_of_the_last_reading(answer):
    told = {one["site"]: (one["status"], one["last_reading"]) for one in answer["sites"]}
    assert told == {
        "alder": ("working", "2027-05-31"),
        "birch": ("working", "2027-05-31"),
        "cedar": ("not heard of", "2027-02-21"),
        "dogwood": ("stopped", "2027-05-31"),
        "elder": ("no log", None),
        "fir": ("not readable", None),
    }


def test_nothing_more_is_shared_unless_it_was_agreed_to(answer):
    alder = rows(answer)["alder"]
    assert {key for key, value in alder.items() if value not in (None, [])} == {
        "site",
        "status",
        "last_reading",
    }
    assert [one for one in answer["due"] if one["site"] not in ("birch", "cedar")] == []
    cedar = rows(answer)["cedar"]
    kept = {key for key, value in cedar.items() if value is None}
    assert {"tests_failed", "used_share", "rain_l", "yearly_cost", "second_supply", "age"} <= kept
    assert cedar["overdue"] > 0


def test_notes_names_and_places_stay_in_the_site_folder(folder, answer):
    files = register_files(answer, days=366)
    told = json.dumps(answer) + str(files["round.csv"]) + files["round.ics"].decode()
    for secret in (SECRET, "Kay", "30.9", "-98.4", "potting shed", str(folder)):
        assert secret not in told


def test_use_by_meter_beside_the_design(answer):
    birch = rows(answer)["birch"]
    # sixty readings lie fifty-nine days apart, 8 L on each
    assert birch["metered_days"] in (58, 59)
    assert birch["metered_l"] == pytest.approx(8.0 * birch["metered_days"], rel=1e-6)
    assert birch["rain_l"] == birch["metered_l"]
    assert birch["used_share"] == pytest.approx(birch["metered_l"] / birch["expected_l"])
    assert birch["peak_day_l"] == pytest.approx(8.0)
    assert (birch["peak_month"], birch["peak_month_l"]) == (5, pytest.approx(8.0 * 30))
    assert birch["cost_by"] == "meters"
    year_m3 = birch["yearly_cost"] / birch["cost_per_m3"]
    assert 0.5 < year_m3 / (8.0 * 365.25 / 1000.0) < 2.0


def test_service_tests_and_supply(answer):
    birch = rows(answer)["birch"]
    assert birch["done_again"] == 1
    assert birch["first_use"] == "2020-06-15"
    assert birch["age"] == "5 to 10 years"
    assert birch["second_supply"] is False
    assert birch["backflow_due"] is None
    screens = [
        one for one in answer["due"] if (one["site"], one["task"]) == ("birch", "clean the screens")
    ]
    assert [one["last_done"] for one in screens] == ["2027-05-29"]


def test_few_sites_are_not_added_up(answer):
    towns = {one["group"]: one["sites"] for one in answer["groups"] if one["by"] == "town"}
    assert towns == {"the rest": 6}
    whole = answer["groups"][0]
    assert (whole["sites"], whole["working"], whole["stopped"], whole["unknown"]) == (6, 2, 1, 3)
    assert whole["metered_sites"] is None


def test_the_round_is_ordered_by_town(answer):
    files = register_files(answer, days=60)
    told = list(csv.DictReader(io.StringIO(files["round.csv"])))
    assert [one["town"] for one in told] == sorted(one["town"] for one in told)
    assert {one["town"] for one in told} == {"Fernridge", "Tallgrass"}
    last = (NOW + timedelta(days=60)).date().isoformat()
    assert len(told) == sum(one["due"] <= last for one in answer["due"])
    sheet = openpyxl.load_workbook(io.BytesIO(files["round.xlsx"])).worksheets[0]
    assert sum(row[1].value in ("birch", "cedar") for row in sheet.iter_rows()) == len(told)
    events = icalendar.Calendar.from_ical(files["round.ics"]).walk("VEVENT")
    assert len(events) == len({str(one["uid"]) for one in events}) == len(told)
    assert min(one["dtstart"].dt for one in events) == NOW.date()
    printed = "".join(page.extract_text() for page in PdfReader(_file(files, "round.pdf")).pages)
    assert printed.index("Fernridge") < printed.index("Tallgrass")
    assert "clean the screens" in printed


def test_no_site_is_named_to_the_board(answer):
    files = register_files(answer, days=60)
    printed = "".join(page.extract_text() for page in PdfReader(_file(files, "board.pdf")).pages)
    assert "2 of 6 work, 1 stopped" in printed
    assert "modelled, not veri" in printed
    for name in rows(answer):
        assert name not in printed.split("What it rests on")[0]


def _file(files, name):
    return io.BytesIO(files[name])


def test_a_name_is_no_formula(tmp_path):
    add(tmp_path, "=HYPERLINK(1)", share='agreed = ["service"]\ntown = "+town"')
    files = register_files(register_answer(read_register(tmp_path, now=NOW)), days=60)
    told = list(csv.DictReader(io.StringIO(files["round.csv"])))
    assert {(one["site"], one["town"]) for one in told} == {("'=HYPERLINK(1)", "'+town")}


def run(*words, cwd):
    return subprocess.run(
        [sys.executable, "-m", "eavewell", *words],
        cwd=cwd,
        env=os.environ | {"COLUMNS": "120", "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def test_from_the_command_to_the_files_and_a_log_erased(tmp_path):
    alder = add(tmp_path, "alder")
    done = run("register", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "alder" in done.stdout
    written = {one.name for one in (tmp_path / "register").iterdir()}
    assert written == {
        "register.json",
        "round.csv",
        "round.xlsx",
        "round.ics",
        "round.pdf",
        "board.pdf",
    }
    kept = run("log", "export", "alder.log", "--site", "alder", cwd=tmp_path)
    assert kept.returncode == 0, kept.stderr
    assert len((tmp_path / "alder.log").read_text(encoding="utf-8").splitlines()) == 61
    name = read_site(alder / "site.toml").name
    erased = run("log", "erase", name, "--site", "alder", cwd=tmp_path)
    assert erased.returncode == 0, erased.stderr
    told = json.loads(run("register", "--json", "-", cwd=tmp_path).stdout)
    assert [one["last_reading"] for one in told["sites"]] == [None]


def test_a_folder_without_sites_is_said(tmp_path):
    done = run("register", cwd=tmp_path)
    assert done.returncode == 2
    assert "No site lies in" in done.stderr


def test_a_site_called_register_is_not_written_into(tmp_path):
    add(tmp_path, "register", last=None)
    before = sorted((tmp_path / "register").iterdir())
    done = run("register", cwd=tmp_path)
    assert done.returncode == 2
    assert "--out" in done.stderr
    assert sorted((tmp_path / "register").iterdir()) == before
    assert run("register", "--out", "results", cwd=tmp_path).returncode == 0
    assert (tmp_path / "results" / "board.pdf").is_file()


def test_other_processes_read_the_same(folder, answer):
    many = read_register(folder, now=NOW, workers=2)
    assert register_answer(many) == answer


def test_why_a_site_is_not_readable_tells_nothing_that_stands_in_it(tmp_path):
    alder = add(tmp_path, "alder", last=None) / "site.toml"
    text = alder.read_text(encoding="utf-8")
    alder.write_text(text.replace("use = 2020-06-15", f'use = "{SECRET}"'), encoding="utf-8")
    one = read_register(tmp_path, now=NOW).sites[0]
    assert one.status == "not readable"
    assert "is not a date" in one.says[0]
    assert SECRET not in one.says[0]
    assert str(tmp_path) not in one.says[0]


def test_mains_water_saved_is_told_by_its_meters_alone(tmp_path, folder, answer):
    """Ten homes used 2,000 gal each in July and then 1,500; others fell from 1,000 to 900."""
    table = tmp_path / "mains.csv"
    lines = ["homes,when,date,count,use_gal"]
    for homes, when, date, use in (
        ("with tanks", "before", "2024-07", 20_000),
        ("with tanks", "after", "2026-07", 15_000),
        ("without tanks", "before", "2024-07", 10_000),
        ("without tanks", "after", "2026-07", 9_000),
    ):
        lines.append(f"{homes},{when},{date},10,{use}")
    table.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert "modelled, not verified: no mains meters" in _words(answer)
    told = register_answer(read_register(folder, now=NOW), mains=read_metered(table))
    jsonschema.validate(told, schema("register"))
    # they would have used 2,000 x 0.9 = 1,800
    assert told["mains_saved_l"] == pytest.approx(300 * 3.785411784)
    assert "no mains meters" not in _words(told)
    assert "300 gal less" in _words(told)


def _words(answer):
    return " ".join(getattr(one, "words", "") for one in board_blocks(answer))


def test_a_design_on_an_invented_climate_is_said_so(answer):
    """The example's rain is invented; birch shares what its design says."""
    assert answer["invented"]
    told = " ".join(getattr(one, "words", "") for one in board_blocks(answer))
    assert "rain of some designs is invented" in told
    older = {key: value for key, value in answer.items() if key != "invented"}
    assert "invented" not in " ".join(getattr(one, "words", "") for one in board_blocks(older))
