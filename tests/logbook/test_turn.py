"""Two who write into one log: the second is told at once that it waits."""

import sqlite3
import time
from datetime import UTC, datetime
from threading import Timer

import pytest
from typer.testing import CliRunner

from eavewell.cli import app
from eavewell.faults import BadLog
from eavewell.files.site.new_site import starter_text
from eavewell.logbook.store import open_log, turn
from eavewell.site.entry import Reading

AT = datetime(2027, 3, 4, 13, tzinfo=UTC)


def test_who_waits_is_told_and_writes_when_the_other_is_done(kept_in, logged_site):
    site, said = logged_site(kept_in), []

    def told(words):
        said.append(words)
        writing.__exit__(None, None, None)

    with open_log(site) as first, open_log(site, waits=told) as second:
        second.add([Reading("main", AT, 1.0)])
        assert said == []
        writing = first._writing()
        writing.__enter__()
        second.add([Reading("main", AT.replace(hour=14), 1.1)])
        assert second.readings("main").count == 2
    assert said == [f"Another program writes into {first.place.words}; waiting up to 30 s."]


def test_a_writer_that_does_not_end_is_a_sentence(kept_in, logged_site, monkeypatch):
    monkeypatch.setattr(turn, "PATIENCE_S", 1.0)
    site, said = logged_site(kept_in), []
    with open_log(site) as first, open_log(site, waits=said.append) as second:
        with first._writing(), pytest.raises(BadLog, match="is being written by another program"):
            second.add([Reading("main", AT, 1.0)])
        assert second.readings("main").count == 0
        second.add([Reading("main", AT, 1.0)])
    assert len(said) == 1


def test_the_command_says_at_once_that_it_waits(tmp_path):
    (tmp_path / "site.toml").write_text(starter_text("barrels"), encoding="utf-8")
    words = ["log", "note", "a frog", "--site", str(tmp_path)]
    assert CliRunner().invoke(app, words).exit_code == 0
    other = sqlite3.connect(tmp_path / "log.db", isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    ends = Timer(1.0, other.rollback)
    ends.start()
    began = time.monotonic()
    found = CliRunner().invoke(app, [*words[:2], "another frog", *words[3:]])
    ends.join()
    other.close()
    assert found.exit_code == 0
    assert found.stderr.startswith("Another program writes into ")
    assert "another frog" in found.stdout
    assert time.monotonic() - began < 20.0
