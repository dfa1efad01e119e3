"""eavewell log: what a command says follows from what was written, and what it refuses."""

import re
import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from eavewell.cli import app
from eavewell.faults import BadLog, EavewellFault

EXAMPLES = Path(__file__).parents[2] / "examples"
THERMOMETER = """
[log]
zone = "America/Chicago"
[[log.gauge]]
name = "shade"
measures = "temperature"
unit = "C"
"""


@pytest.fixture
def log(tmp_path):
    """Runs a command on the log of the house; what it printed, in one line."""
    shutil.copytree(EXAMPLES / "whole-house", tmp_path / "site")
    file = tmp_path / "site" / "site.toml"
    file.write_text(file.read_text(encoding="utf-8") + THERMOMETER, encoding="utf-8")

    def run(*words):
        done = CliRunner().invoke(app, ["log", *words, "--site", str(tmp_path / "site")])
        if isinstance(done.exception, EavewellFault | OSError):
            raise done.exception
        assert done.exit_code == 0, done.output
        return " ".join(done.output.split())

    return run


def test_a_failed_test_says_what_to_do_today_and_a_clear_one_what_is_still_wanted(log):
    said = log("test", "E. coli", "present", "--at", "2026-03-04")
    assert "water for drinking: failed." in said
    assert "TODAY: stop drinking it: boil it" in said
    assert "Tell the health department." in said
    assert "2 clear tests still wanted" in said
    said = log("test", "E. coli", "absent", "--at", "2026-03-11")
    assert "TODAY: stop drinking it" in said
    assert "1 clear test still wanted" in said
    assert "a later result, of 11 Mar 2026, counts" in log(
        "test", "E. coli", "absent", "--at", "2026-03-01"
    )


def test_a_pass_says_when_the_next_is_due(log):
    # every 90 days
    said = log("test", "E. coli", "absent", "--at", "2026-03-04")
    assert re.search(r"(next test|the next was due) on 2 Jun 2026", said)


def test_a_task_says_when_it_is_next_due_and_one_that_nobody_knows_is_told(log):
    yesterday = date.today() - timedelta(days=1)
    said = log("done", "clean the screens", "--at", yesterday.isoformat())
    # every 30 days
    assert f"next due on {(yesterday + timedelta(days=30)).day} " in said
    assert "no task 'clean the screen': did you mean 'clean the screens'?" in log(
        "done", "clean the screen"
    )
    assert "no task 'dance': 'eavewell log due' lists them" in log("done", "dance")
    assert "is of no 'roof'" in log("done", "clean the screens", "--thing", "roof")
    assert "no task" not in log("done", "flush and disinfect")


@pytest.mark.parametrize(
    "words", [("done", "clean the screens"), ("test", "lead", "0.001 mg/L"), ("outage", "power")]
)
def test_what_is_yet_to_come_is_no_entry(log, words):
    at = "--from" if words[0] == "outage" else "--at"
    with pytest.raises(BadLog, match="1 Jan 2100 lies ahead"):
        log(*words, at, "2100-01-01")


def test_an_outage_is_of_what_the_site_has(log):
    with pytest.raises(BadLog, match=r"'lmap' is no lamp or pump .*did you mean 'lamp'\?"):
        log("outage", "lmap")


def test_a_frost_is_a_figure_and_no_option(log):
    assert "shade: -3 C" in log("air", "-3 C", "--at", "2026-01-04 7:00")


def test_a_note_needs_words_and_one_without_never_bars_the_log(log):
    with pytest.raises(BadLog, match="A note needs words"):
        log("note", "  ")
    log("note", "a frog")
    assert "a frog" in log("show")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("2,000 gal", "--price", "nan"), "does not cost nan"),
        (("2,000 gal", "--price=-5"), "does not cost -5"),
        (("0 gal",), "more than nothing"),
    ],
)
def test_a_load_is_water_at_a_price(log, words, says):
    with pytest.raises(BadLog, match=says):
        log("load", "main", *words)


def test_a_load_larger_than_its_tank_is_asked_about(log):
    assert "takes 470 gal at most: is 9,000 gal right?" in log("load", "header", "9,000 gal")


def test_what_is_put_right_is_doubted_as_what_is_typed(log):
    log("level", "main", "41 in", "--at", "2026-03-04 7:00")
    said = log("correct", "r1", "900 in", "--why", "misread")
    assert "Questioned: 900 in is above the rim" in said
    log("test", "pH", "7.2", "--at", "2026-03-04")
    with pytest.raises(BadLog, match="lies ahead"):
        log("correct", "t1", "--at", "2100-01-01", "--why", "a slip")


def test_a_tank_that_stood_shut_by_what_was_read_and_by_the_log(log):
    shut = ("shut", "main", "--before", "60 in", "--after", "58 in")
    assert "It leaks:" in log(*shut)
    for at, level in (("2026-03-04 20:00", "60 in"), ("2026-03-05 8:00", "58 in")):
        log("level", "main", level, "--at", at)
    said = log("shut", "main", "--from", "2026-03-04 20:00", "--to", "2026-03-05 8:00")
    assert "By 1 and 1 readings of 'main'. Shut for 12 hours it fell by 2" in said
    assert "It leaks:" in said and "overnight test" in log("show", "notes")
    for words in ((), shut[2:4], (*shut[2:], "--from", "2026-03-04 20:00")):
        with pytest.raises(BadLog, match="Say what you read, --before and --after; or --from"):
            log("shut", "main", *words)
