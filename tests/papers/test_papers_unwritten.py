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


def test_a_full_disk_is_a_sentence_and_leaves_no_half_of_a_paper(tmp_path, monkeypatch):
    whole = Path.write_bytes

    def full(path, text):
        if "b.csv" in path.name:
            whole(path, text[:1])
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return whole(path, text)

    write_papers({"b.csv": "old\n"}, tmp_path)
    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(EavewellFault, match=r"b\.csv cannot be written: No space left"):
        write_papers({"b.csv": "new\n"}, tmp_path)
    assert (tmp_path / "b.csv").read_text() == "old\n"
    assert not list(tmp_path.rglob(".*.new"))


@pytest.mark.skipif(not Path("/proc/version").exists(), reason="no folder that refuses its owner")
def test_a_folder_that_takes_nothing_is_a_sentence():
    with pytest.raises(EavewellFault, match="cannot be written"):
        write_papers({"a.csv": "1\n"}, Path("/proc/papers"))


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1"])
def test_a_name_never_becomes_a_formula(name):
    text = order_csv({"cost": {"order": [ORDER | {"part": name}]}})
    (row,) = csv.DictReader(text.splitlines())
    assert row["part"] == f"'{name}"
