"""eavewell log: what each command writes, says and refuses."""

import re
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from eavewell.cli import app
from eavewell.faults import EavewellFault

EXAMPLES = Path(__file__).parents[2] / "examples"
ZONE = '\n[log]\nzone = "America/Chicago"\nreadings_at = "7:30"\n'


@pytest.fixture
def site(tmp_path):
    shutil.copytree(EXAMPLES / "whole-house", tmp_path / "site")
    file = tmp_path / "site" / "site.toml"
    file.write_text(file.read_text(encoding="utf-8") + ZONE, encoding="utf-8")
    return tmp_path / "site"


@pytest.fixture
def log(site):
    """Runs a command on the log of the site; what it printed, in one line."""

    def run(*words):
        done = CliRunner().invoke(app, ["log", *words, "--site", str(site)])
        if isinstance(done.exception, EavewellFault | OSError):
            raise done.exception
        assert done.exit_code == 0, done.output
        return " ".join(done.output.split())

    return run


def test_a_level_is_written_and_set_beside_the_one_before(log):
    assert "main: 43 in, 4 Mar 2027 7:30" in log("level", "main", "43 in", "--at", "2027-03-04")
    said = log("level", "main", "41 in", "--at", "2027-03-05 7:30", "--who", "Kay")
    assert "main: 41 in, 5 Mar 2027 7:30" in said
    assert re.search(r"Before: 43 in, 4 Mar 2027 7:30\. \d+ gal less in 24 h\.", said)


def test_what_can_hardly_be_is_written_as_questioned_and_put_right(log):
    said = log("level", "main", "200 in", "--at", "2020-03-04")
    assert "200 in is above the rim of main" in said
    assert "years ago" in said
    assert "It is written as questioned" in said
    number = re.search(r"correct (r\d+)", said)[1]
    assert "20 in" in log("correct", number, "20 in", "--why", "a figure too many")
    assert "Questioned" not in log("show", "main")


def test_the_same_again_is_told_and_another_at_the_same_instant_is_refused(log):
    log("level", "main", "41 in", "--at", "2020-03-04")
    assert "in the log already" in log("level", "main", "41 in", "--at", "2020-03-04")
    with pytest.raises(EavewellFault, match=r"another reading at .*, 41 in: 40 in was not written"):
        log("level", "main", "40 in", "--at", "2020-03-04")


def test_every_other_entry_is_written_and_shown(log):
    when = ("--at", "2020-03-04 8:00")
    said = log("load", "main", "2,000 gal", "--price", "190", "--chlorine", "0.5 mg/L", *when)
    assert "load to main 2,000 gal" in said
    assert "ordered, 2,000 gal" in log("load", "main", "2,000 gal", "--not-yet")
    assert "rinse the screen, roof grit" in log(
        *("done", "rinse the screen", "--thing", "roof", "--found", "grit"), *when
    )
    assert "put off to 1 Apr 2020" in log("done", "sample", "--until", "2020-04-01", *when)
    assert "E. coli < 1 /100 mL" in log("test", "E. coli", "< 1 /100 mL", *when)
    assert "a frog" in log("note", "a frog", "--about", "roof", *when)
    assert "rain: 0.6 in" in log("rain", "0.6 in", *when)
    everything = log("show")
    for what in ("load to main", "rinse the screen", "E. coli", "a frog", "0.6 in"):
        assert what in everything
    assert "a frog" in log("show", "notes")
    assert "0.6 in" not in log("show", "notes")


def test_an_outage_lasts_until_it_is_ended(log):
    assert "power out still" in log("outage", "power", "--from", "2026-03-04 18:00")
    said = log("outage", "power", "--to", "2026-03-04 21:30")
    assert "power out to 4 Mar 2026 21:30" in said
    with pytest.raises(EavewellFault, match="No outage of 'power' lasts"):
        log("outage", "power", "--to", "now")
    with pytest.raises(EavewellFault, match="before it went out"):
        log("outage", "power", "--from", "2026-03-04 18:00", "--to", "2026-03-04 17:00")


def test_an_entry_is_moved_and_struck(log):
    log("note", "a frog", "--at", "2020-03-04 8:00")
    assert "5 Mar 2020" in log("correct", "n1", "--at", "2020-03-05", "--why", "a day late")
    assert "n1 is struck out" in log("strike", "n1", "--why", "a toad")
    assert "Nothing is in the log yet" in log("show")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("level", "main", "41", "in"), "in quotation marks"),
        (("level", "main", "41"), "none of its own"),
        (("load", "mian", "9 gal"), "did you mean 'main'"),
        (("test", "E coli", "absent"), "did you mean 'E. coli'"),
        (("show", "mian"), "did you mean 'main'"),
        (("correct", "x1", "9 in", "--why", "w"), "is no number of the log such as r12"),
        (("correct", "r1", "--why", "w"), "Say what it should say"),
        (("strike", "r99", "--why", "w"), "no reading with the number 99"),
    ],
)
def test_what_cannot_be_is_a_sentence(log, words, says):
    log("level", "main", "41 in", "--at", "2020-03-04")
    with pytest.raises(EavewellFault, match=re.escape(says)):
        log(*words)


def test_a_site_without_a_log_says_so(log, site):
    with pytest.raises(EavewellFault, match="no log beside the site file yet"):
        log("show")
    assert not (site / "log.db").exists()


JUNE = "time,level in\n06/01/2024 07:30,59\n06/13/2024 07:30,58\n06/14/2024 07:30,300\n"


def test_a_file_is_brought_in_once_and_what_is_doubted_or_differs_is_told(log, tmp_path):
    file = tmp_path / "june.csv"
    file.write_text(JUNE)
    said = log("bring", str(file), "--gauge", "main", "--unit", "in")
    assert "3 readings written" in said
    assert "is above the rim of the tank" in said
    again = log("bring", str(file), "--gauge", "main", "--unit", "in")
    assert "brought in before on" in again
    assert "nothing was added" in again
    file.write_text(JUNE.replace(",58", ",57"))
    other = log("bring", str(file), "--gauge", "main", "--unit", "in")
    assert "0 readings written, 2 there already" in other
    assert "57 in, where 58 in stands (r2)" in other


def test_a_file_that_cannot_be_read_writes_nothing(log, tmp_path, site):
    file = tmp_path / "june.csv"
    file.write_text(JUNE.replace(",58", ",fifty"))
    with pytest.raises(EavewellFault, match=r"june\.csv:3"):
        log("bring", str(file), "--gauge", "main", "--unit", "in")
    with pytest.raises(EavewellFault, match="the file's name = ours"):
        log("bring", str(file), "--gauge", "main", "--gauge", "header")
    assert "Nothing is in the log yet" in log("show")


def test_listening_without_a_feed_is_a_sentence(log):
    with pytest.raises(EavewellFault, match="Nothing is fed"):
        log("listen")


def test_a_whole_log_is_written_to_a_file_and_brought_into_another(log, tmp_path, site):
    log("level", "main", "41 in", "--at", "2024-03-04", "--who", "Kay")
    log("load", "main", "2,000 gal", "--at", "2024-03-05")
    log("test", "pH", "6.2", "--at", "2024-03-06")
    log("note", "ein Frosch in der Küche", "--at", "2024-03-07")
    before, file = log("show"), tmp_path / "log.jsonl"
    assert "Wrote 4 entries" in log("export", str(file))
    with pytest.raises(FileExistsError):
        log("export", str(file))
    for name in site.glob("log.db*"):
        name.unlink()
    assert "4 entries written" in log("bring", str(file))
    assert "nothing was added" in log("bring", str(file))
    assert log("show") == before
    file.write_text(file.read_text() + "{}\n" + '{"kind": "note", "at": "soon"}\n')
    with pytest.raises(EavewellFault, match=r"log\.jsonl:6: It is no entry"):
        log("bring", str(file))


def test_a_log_is_erased_by_the_name_of_its_site_alone(log):
    log("note", "a frog")
    with pytest.raises(EavewellFault, match="Nothing was erased: the site is called 'Quailwater"):
        log("erase", "Quail")
    assert "is erased" in log("erase", "Quailwater hill house")
    assert "Nothing is in the log yet" in log("show")
