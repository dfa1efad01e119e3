"""A full disk and a read-only folder: a sentence, and nothing of the log is lost."""

import os
import resource
import shutil
import signal
import sqlite3
import subprocess
from contextlib import closing, contextmanager
from datetime import UTC, datetime

import numpy as np
import pytest

from eavewell.faults import BadLog
from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.store import open_log
from eavewell.site.entry import Reading

NOON = datetime(2027, 3, 4, 12, 0, tzinfo=UTC)
ROOM = "size=1500k"


@contextmanager
def small_disk(folder):
    words = ["mount", "-t", "tmpfs", "-o", ROOM, "tmpfs", folder]
    if subprocess.run(words, check=False, capture_output=True).returncode:
        pytest.skip("no small disk can be mounted here; a limit on files stands in for it")
    try:
        yield folder
    finally:
        subprocess.run(["umount", folder], check=True)


def month(number):
    at = np.datetime64("2020-01-01", "ms") + (np.arange(3000) + 3000 * number) * np.timedelta64(
        1, "h"
    )
    return ManyReadings("sensor", at, np.arange(3000.0))


def filled(store):
    """Files brought in until one does not fit; how many did."""
    for number in range(200):
        try:
            store.add([month(number)])
        except BadLog as refused:
            return number, str(refused)
    raise AssertionError("the disk is never full")


def whole(folder, rows):
    with closing(sqlite3.connect(folder / "log.db")) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("SELECT count(*) FROM reading").fetchone() == (rows,)


def test_a_full_disk_is_a_sentence_and_the_log_is_whole(logged_site, tmp_path):
    folder = tmp_path / "disk"
    folder.mkdir()
    with small_disk(folder):
        (folder / "taken").write_bytes(bytes(200_000))
        with open_log(logged_site(folder=folder)) as store:
            store.add([Reading("stick", NOON, 1.0)])
            fitted, says = filled(store)
            assert fitted > 0
            assert f"no room left on the disk of {folder}: nothing of this was written" in says
            assert store.readings("sensor").count == 3000 * fitted
            assert store.last("stick").value == 1.0
            (folder / "taken").unlink()
            assert store.add([month(fitted)]).new == 3000
        whole(folder, 3000 * (fitted + 1) + 1)


def test_a_log_cannot_be_begun_on_a_full_disk(logged_site, tmp_path):
    folder = tmp_path / "disk"
    folder.mkdir()
    with small_disk(folder):
        with pytest.raises(OSError, match="space"):
            (folder / "taken").write_bytes(bytes(2_000_000))
        with pytest.raises(BadLog, match="no room left on the disk"):
            open_log(logged_site(folder=folder))


@pytest.fixture
def longest_file():
    """Sets how long a file may become, in bytes."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handled = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    yield lambda most: resource.setrlimit(resource.RLIMIT_FSIZE, (most, before[1]))
    resource.setrlimit(resource.RLIMIT_FSIZE, before)
    signal.signal(signal.SIGXFSZ, handled)


def test_a_file_that_may_not_grow_is_a_sentence_and_the_log_is_whole(
    logged_site, tmp_path, longest_file
):
    """The same without a disk of its own: the system lets no file grow beyond a length."""
    with open_log(logged_site()) as store:
        store.add([Reading("stick", NOON, 1.0)])
        longest_file(1_000_000)
        fitted, says = filled(store)
        assert "nothing of this was written" in says or "was left as it is" in says
        assert store.readings("sensor").count == 3000 * fitted
        longest_file(resource.RLIM_INFINITY)
        assert store.add([month(fitted)]).new == 3000
    whole(tmp_path, 3000 * (fitted + 1) + 1)


@contextmanager
def read_only(folder):
    """A folder that nobody can write to, a system administrator neither."""
    if os.geteuid():
        folder.chmod(0o500)
        yield
        folder.chmod(0o700)
        return
    for words in (["--bind", folder, folder], ["-o", "remount,ro,bind", folder]):
        if subprocess.run(["mount", *words], check=False, capture_output=True).returncode:
            pytest.skip("a system administrator who may not mount can write to any folder")
    try:
        yield
    finally:
        subprocess.run(["umount", folder], check=True)


def test_a_read_only_folder_is_a_sentence_and_its_log_is_read(logged_site, tmp_path):
    folder = tmp_path / "site"
    folder.mkdir()
    with open_log(logged_site()) as store:
        store.add([Reading("stick", NOON, 1.0)])
        for name in ("log.db", "log.db-wal"):
            shutil.copy(tmp_path / name, folder)
    # what was written last lies beside the file still, and must be read
    assert (folder / "log.db-wal").stat().st_size > 0
    names = sorted(folder.iterdir())
    site = logged_site(folder=folder)
    with read_only(folder):
        with open_log(site, make=False) as found:
            assert found.last("stick").value == 1.0
        with pytest.raises(BadLog, match="cannot be written to"):
            open_log(site)
        assert sorted(folder.iterdir()) == names
    with open_log(site) as after:
        assert after.last("stick").value == 1.0


def test_a_folder_that_is_not_there_is_a_sentence(logged_site, tmp_path):
    with pytest.raises(BadLog, match="There is no folder"):
        open_log(logged_site(folder=tmp_path / "nowhere"))
