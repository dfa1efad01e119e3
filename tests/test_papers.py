"""Papers in a folder: what is written, what is replaced, what is never touched."""

import csv
import json
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from eavewell.faults import EavewellFault
from eavewell.papers.all_papers import papers
from eavewell.papers.written import CONTENTS, write_papers
from eavewell.site.line import Line
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.treatment.labels import labels_of

EXAMPLES = Path(__file__).parents[1] / "examples"
PART = {
    "part": "pvc pipe",
    "count": 9.0,
    "unit": "m",
    "size": 100.0,
    "called": "4 in",
    "joins": "solvent weld",
    "spares": 0.5,
    "lengths_m": [3.048, 1.5],
    "says": "",
    "where": "pipe 'drain'",
    "stand": "along the trench",
    "stock_pieces": 2,
}
ANSWER = {"cost": {"parts": [PART], "order": [PART | {"size": None}]}}


@pytest.fixture
def found(making):
    main = Pipe(20.93, 10.0)
    line = Line("house", "tank", main, outlets=(Outlet("kitchen", "kitchen sink", count=2),))
    site = making.site(lines=(line,))
    return papers(site, labels_of(site), answer=ANSWER)


def read(text):
    return list(csv.DictReader(text.splitlines()))


def test_every_label_has_its_file_and_its_line(found):
    listed = read(found["labels.csv"])
    tap = next(row for row in listed if "tap" in row["file"])
    assert tap["file"] == "labels/05-tap-indoor.svg"
    assert (tap["count"], tap["where"], tap["counted"]) == ("2", "kitchen", "2 at kitchen")
    drawn = {name for name in found if name.startswith("labels/")}
    turned = {name for name in drawn if name.endswith("-flow-left.svg")}
    assert {row["file"] for row in listed} == drawn - turned
    assert turned == {"labels/04-pipe-flow-left.svg"}
    assert all(ET.fromstring(found[name]) is not None for name in drawn)


def test_parts_and_order_as_csv(found):
    (part,) = read(found["parts.csv"])
    assert (part["part"], part["size"], part["lengths_m"]) == ("pvc pipe", "100", "3.048 1.500")
    (order,) = read(found["order.csv"])
    assert (order["size"], order["stock_pieces"], order["spares"]) == ("", "2", "0.5")


def test_no_paper_calls_water_safe(found):
    assert not any("safe" in text.lower() for text in found.values())


def kept(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_written_twice_is_written_once(tmp_path, found):
    paths = write_papers(found, tmp_path / "out")
    assert {path.relative_to(tmp_path / "out").as_posix() for path in paths} == set(found)
    first = kept(tmp_path / "out")
    assert set(first) == {*found, CONTENTS}
    write_papers(found, tmp_path / "out")
    assert kept(tmp_path / "out") == first


def test_a_paper_that_is_none_any_more_is_taken_away(tmp_path):
    write_papers({"a.csv": "1\n", "b/c.svg": "2\n"}, tmp_path)
    (tmp_path / "mine.txt").write_text("mine")
    write_papers({"a.csv": "3\n"}, tmp_path)
    assert set(kept(tmp_path)) == {"a.csv", "mine.txt", CONTENTS}
    assert (tmp_path / "a.csv").read_text() == "3\n"


def test_what_a_person_changed_or_put_there_is_not_touched(tmp_path):
    write_papers({"a.csv": "1\n", "b.csv": "2\n"}, tmp_path)
    (tmp_path / "a.csv").write_text("my own notes\n")
    (tmp_path / "c.csv").write_text("mine\n")
    before = kept(tmp_path)
    with pytest.raises(EavewellFault) as refused:
        write_papers({"a.csv": "4\n", "b.csv": "5\n", "c.csv": "6\n"}, tmp_path)
    assert len(refused.value.faults) == 2
    assert "changed since it was written" in str(refused.value)
    assert kept(tmp_path) == before
    # a changed paper that is none any more stays as well
    write_papers({"b.csv": "5\n"}, tmp_path)
    assert (tmp_path / "a.csv").read_text() == "my own notes\n"


def test_a_run_that_broke_is_taken_up_again(tmp_path, monkeypatch):
    write_papers({"a.csv": "1\n", "b.csv": "1\n"}, tmp_path)
    replaced = Path.replace

    def breaks(path, target):
        if Path(target).name == "b.csv":
            raise OSError("no room")
        return replaced(path, target)

    monkeypatch.setattr(Path, "replace", breaks)
    with pytest.raises(EavewellFault, match=r"b\.csv cannot be written: no room"):
        write_papers({"a.csv": "2\n", "b.csv": "2\n"}, tmp_path)
    monkeypatch.undo()
    write_papers({"a.csv": "3\n", "b.csv": "3\n"}, tmp_path)
    assert (tmp_path / "b.csv").read_text() == "3\n"


def test_a_folder_that_is_none_and_contents_that_are_not_ours(tmp_path):
    (tmp_path / "file").write_text("mine")
    for folder in (tmp_path / "file", tmp_path / "file" / "deeper"):
        with pytest.raises(EavewellFault, match="is a file"):
            write_papers({"a.csv": "1\n"}, folder)
    (tmp_path / CONTENTS).write_text("chapter,page\n")
    with pytest.raises(EavewellFault, match="not ours"):
        write_papers({"a.csv": "1\n"}, tmp_path)
    assert not (tmp_path / "a.csv").exists()


def test_contents_never_lead_out_of_the_folder(tmp_path):
    inside, outside = tmp_path / "in", tmp_path / "precious.txt"
    write_papers({"a.csv": "1\n"}, inside)
    outside.write_text("1\n")
    listed = (inside / CONTENTS).read_text()
    same = listed.splitlines()[1].split(",")[1]
    (inside / CONTENTS).write_text(f"{listed}../precious.txt,{same}\n{outside},{same}\n")
    write_papers({"b.csv": "2\n"}, inside)
    assert outside.exists()


def run(*words):
    asked = [sys.executable, "-m", "eavewell", "papers", *map(str, words)]
    return subprocess.run(asked, capture_output=True, text=True, encoding="utf-8", check=False)


def test_the_command_writes_and_says_what(tmp_path):
    site = tmp_path / "Café" / "site.toml"
    site.parent.mkdir()
    text = (EXAMPLES / "barrels" / "site.toml").read_text(encoding="utf-8")
    name = json.dumps("Café у ручья", ensure_ascii=False)
    site.write_text(text.replace('"Quailwater potting shed"', name), encoding="utf-8")
    done = run(site.parent)
    assert done.returncode == 0, done.stderr
    folder = site.parent / "papers"
    assert f"Wrote to {folder}: " in done.stdout
    for paper in ("design-report.pdf", "labels.csv", "order.csv", "parts.csv", "parts.txt"):
        assert paper in done.stdout
    assert "100 %" in done.stdout
    assert "parts" in (folder / "parts.txt").read_text(encoding="utf-8")
    assert list(folder.glob("label-sheets/*.svg"))
    (tmp_path / "file").write_text("mine")
    refused = run(site.parent, "--out", tmp_path / "file")
    assert (refused.returncode, "is a file" in refused.stderr) == (2, True)
    assert "Traceback" not in refused.stderr
