"""Papers that cannot be written: one sentence, and nothing half written left behind."""

import csv
import errno
import os
from pathlib import Path

import pytest

from eavewell.faults import EavewellFault
from eavewell.papers.tables_out import order_csv
from eavewell.papers.written import write_papers

ORDER = {
    "called": "",
    "size": None,
    "count": 1.0,
    "unit": "each",
    "spares": 0.0,
    "stock_pieces": 0,
    "joins": "",
}


class Disk:
    """Takes so many bytes and then no more; a file that does not fit is cut short on it."""

    def __init__(self, monkeypatch, room):
        self.room = room
        whole = Path.write_bytes

        def write(path, text):
            taken = text[: self.room]
            self.room -= len(taken)
            whole(path, taken)
            if len(taken) < len(text):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        monkeypatch.setattr(Path, "write_bytes", write)


def all_of(folder):
    """Everything below a folder: files with what they hold, folders with nothing."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
    }


OLD = {f"{name}.csv": f"old {name}\n" * 20 for name in "abc"} | {"sheets/plan.svg": "old"}
NEW = {f"{name}.csv": f"new {name}\n" * 20 for name in "bcd"} | {"labels/tank.svg": "new" * 20}
FULL = len("".join(NEW.values()))


@pytest.mark.parametrize("room", range(0, FULL, 37))
@pytest.mark.parametrize("there", [True, False])
def test_a_disk_that_fills_on_the_way_leaves_all_as_it_was(tmp_path, monkeypatch, room, there):
    folder = tmp_path / "papers"
    if there:
        write_papers(OLD, folder)
    before = all_of(tmp_path)
    Disk(monkeypatch, room)
    with pytest.raises(EavewellFault, match="cannot be written: No space left"):
        write_papers(NEW, folder)
    assert all_of(tmp_path) == before


@pytest.mark.parametrize("at", range(1, 7))
def test_a_rename_refused_on_the_way_leaves_all_as_it_was(tmp_path, monkeypatch, at):
    """Contents, four papers, contents again: six renames, two files taken away before the last."""
    write_papers(OLD, tmp_path)
    before, whole, done = all_of(tmp_path), Path.replace, []

    def refused(path, target):
        done.append(target)
        if len(done) == at:
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        return whole(path, target)

    monkeypatch.setattr(Path, "replace", refused)
    with pytest.raises(EavewellFault, match="cannot be written: Permission denied"):
        write_papers(NEW, tmp_path)
    assert all_of(tmp_path) == before


def test_everything_is_on_disk_before_the_first_rename(tmp_path, monkeypatch):
    write_papers(OLD, tmp_path)
    acts = []
    for act in ("write_bytes", "replace"):
        whole = getattr(Path, act)

        def told(path, other, act=act, whole=whole):
            acts.append(act)
            return whole(path, other)

        monkeypatch.setattr(Path, act, told)
    write_papers(NEW, tmp_path)
    assert acts == ["write_bytes"] * 6 + ["replace"] * 6
    assert {name for name, text in all_of(tmp_path).items() if text} == {*NEW, "contents.csv"}


def test_what_a_killed_run_left_is_known_again(tmp_path, monkeypatch):
    """Killed after any number of renames: no undoing, and the next run takes it up."""
    whole = Path.replace
    for at in range(1, 7):
        folder, done = tmp_path / f"{at}", []
        write_papers(OLD, folder)

        def stops(path, target, done=done, at=at):
            done.append(target)
            if len(done) >= at:
                raise OSError("killed: nothing is undone either")
            return whole(path, target)

        with monkeypatch.context() as now:
            now.setattr(Path, "replace", stops)
            now.setattr("eavewell.papers.put_together._quietly", lambda act: None)
            with pytest.raises(EavewellFault, match="killed"):
                write_papers(NEW, folder)
        write_papers(NEW, folder)
        left = {name for name, text in all_of(folder).items() if text}
        assert left == {*NEW, "contents.csv"}


@pytest.mark.skipif(not Path("/proc/version").exists(), reason="no folder that refuses its owner")
def test_a_folder_that_takes_nothing_is_a_sentence():
    with pytest.raises(EavewellFault, match="cannot be written"):
        write_papers({"a.csv": "1\n"}, Path("/proc/papers"))


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1"])
def test_a_name_never_becomes_a_formula(name):
    text = order_csv({"cost": {"order": [ORDER | {"part": name}]}})
    (row,) = csv.DictReader(text.splitlines())
    assert row["part"] == f"'{name}"
