"""Killed two hundred times while it writes: nothing acknowledged is lost, nothing is half there."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest

from eavewell.logbook.readings.day_sums import summed
from eavewell.logbook.store import open_log
from eavewell.logbook.store.arriving import Origin

WRITER = Path(__file__).parent / "writer.py"
KILLS, MADE, LONGEST_S, MOST_TOLD = 200, 20, 0.03, 6


@pytest.fixture(scope="module")
def writer():
    sys.path.insert(0, str(WRITER.parent))
    import writer

    sys.path.remove(str(WRITER.parent))
    return writer


class Killed:
    """A writer that is killed and begun again; what it was told is on the disk."""

    def __init__(self, folder):
        self.folder = folder
        self.said = {"wrote": set(), "brought": set()}
        self.process = subprocess.Popen(
            [sys.executable, WRITER],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            bufsize=1,
        )

    def once(self, after_s, *, since="open", told=0):
        """Begin where the last one stopped; kill it so long after it has begun, or is open.

        told : how many entries it acknowledges first, so that a slow machine writes as many.
        """
        first = max(self.said["wrote"], default=-1) + 1
        # where the file of the last number was not acknowledged, that number is written again
        if first and (first - 1) % 3 == 0 and first - 1 not in self.said["brought"]:
            first -= 1
        self.process.stdin.write(f"{first} {self.folder}\n")
        pid = left = None
        for line in self.process.stdout:
            word, _, number = line.strip().partition(" ")
            if word == "begun":
                pid = int(number)
            if word == since:
                left = told
            elif word == "wrote" and left is not None:
                left -= 1
            if left == 0 and pid is not None:
                left = None
                time.sleep(after_s)
                os.kill(pid, signal.SIGKILL)
            if word == "ended":
                return
            if word in self.said:
                self.said[word].add(int(number))

    def end(self):
        self.process.stdin.close()
        self.process.stdout.close()
        self.process.wait()


def test_two_hundred_kills_lose_nothing_that_was_acknowledged(tmp_path, writer):
    lots = random.Random(20270301)
    killed = Killed(tmp_path)
    try:
        for one in range(KILLS):
            # every tenth while it makes or opens the log, the others while they write
            since = "open" if one % 10 else "begun"
            told = lots.randrange(MOST_TOLD) if one % 10 else 0
            killed.once(lots.uniform(0.0, LONGEST_S), since=since, told=told)
            if one % 25 == 24:
                whole(tmp_path)
    finally:
        killed.end()
    assert len(killed.said["wrote"]) > KILLS, "killed before it could write"
    assert killed.said["brought"]
    with open_log(writer.site_in(str(tmp_path))) as store:
        check_readings(store, killed.said["wrote"])
        check_files(store, killed.said, writer)


def test_killed_while_it_is_made_a_log_is_made_by_the_next(tmp_path, writer):
    lots = random.Random(20270302)
    killed = Killed(tmp_path)
    try:
        for one in range(MADE):
            killed.folder = tmp_path / str(one)
            killed.folder.mkdir()
            killed.once(lots.uniform(0.0, LONGEST_S), since="begun")
            with open_log(writer.site_in(str(killed.folder))) as store:
                store.add([writer.file_of(0)])
            whole(killed.folder)
    finally:
        killed.end()


def whole(folder):
    with closing(sqlite3.connect(folder / "log.db")) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []


def check_readings(store, wrote):
    taken = store.readings("stick")
    there = set(taken.value.astype(int).tolist())
    assert wrote <= there
    # at most what was written when the last one was killed is there without a word of it
    assert len(there - wrote) <= 1
    assert [note.says for _, note in store.entries("note")] == [f"note {n}" for n in sorted(there)]


def check_files(store, said, writer):
    taken = store.readings("file")
    rows = np.bincount((taken.at_utc - np.datetime64("2020-01-01", "ms")).astype(int) // writer.MS)
    there = set(np.flatnonzero(rows).tolist())
    assert set(rows[rows > 0].tolist()) == {writer.FILE_ROWS}, "half a file"
    assert said["brought"] <= there
    sums, again = store.day_sums("file"), summed(taken, "America/Chicago")
    np.testing.assert_array_equal(sums.total, again.total)
    for number in sorted(there)[-5:]:
        origin = Origin(f"{number}.csv", f"digest {number}")
        repeated = store.add([writer.file_of(number)], origin=origin)
        assert (repeated.new, repeated.already, repeated.known) == (0, writer.FILE_ROWS, True)
