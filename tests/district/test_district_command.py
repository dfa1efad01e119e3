"""The command on many roofs, as a user runs it; what it refuses, within this process."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from tests.commanded import commanded
from tests.district.made_district import SETTINGS, folder_of

from eavewell.district.settings import district_of_text

DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    home = tmp_path_factory.mktemp("command")
    folder_of(home, 40)
    return home


def run(*words, home):
    return subprocess.run(
        [sys.executable, "-m", "eavewell", "district", *words],
        cwd=home,
        env=os.environ | {"COLUMNS": "100", "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def test_from_a_table_to_a_folder(home):
    done = run("roofs.csv", "--records", "records", home=home)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert "Quailwater valley: 40 roofs screened." in done.stdout
    assert "Modelled, not verified" in done.stdout
    out = home / "roofs-screened"
    told = json.loads((out / "run.json").read_text())
    assert [one["size_l"] for one in told["sizes"]] == told["sizes_l"]
    assert sum(one["roofs"] for one in told["records_used"]) == 40
    assert not (out / "index").exists()
    done = run("roofs.csv", "--records", "records", "--paper", home=home)
    assert "40 of them stood there already" in done.stdout
    (index,) = (out / "index").iterdir()
    assert index.name.startswith(told["digest"])
    assert {"choices.json", "districts.json", "size-000.parquet"} <= {
        one.name for one in index.iterdir()
    }


def test_fewer_than_five_roofs_are_never_added_up(home):
    lines = (home / "roofs.csv").read_text().splitlines()
    (home / "four.csv").write_text("\n".join(lines[:5]))
    done = run("four.csv", "--records", "records", home=home)
    assert done.returncode == 0, done.stderr
    assert "reach the goal" not in done.stdout
    assert json.loads((home / "four-screened" / "run.json").read_text())["sizes"] == []


def test_every_row_bad_still_ends_well(home):
    head = "id,lat,lon,area_m2,finish,people,telephone\n"
    (home / "bad.csv").write_text(head + "a,30,-97,-3,metal,2,unknown\n")
    done = run("bad.csv", "--records", "records", home=home)
    assert done.returncode == 0, done.stderr
    assert "1 row not screened: area is below nothing (1)." in done.stdout
    assert "Columns that were not read: telephone." in done.stdout
    assert (home / "bad-screened" / "bad_rows.csv").read_text().count("\n") == 2


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("none.csv", "--records", "records"), "The table cannot be opened"),
        (("roofs.csv", "--records", "none"), "no folder of records"),
        (("roofs.csv", "--records", "records", "--within", "15"), "15"),
        (("roofs.csv", "--records", "records", "--out", "roofs.csv"), "is a file"),
        (("records/stations.csv", "--records", "records"), "no district's file here"),
        (("roofs.csv", "--records", "roofs.csv"), "it must be NetCDF or Zarr"),
        (
            ("roofs.csv", "--records", "records", "--out", "far", "--scheduler", "tcp:/x"),
            "No scheduler answers at tcp:/x",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(home, words, says):
    done = commanded("district", *words, folder=home, COLUMNS="100")
    assert done.returncode == 2, done.stderr
    assert says in done.stderr
    assert "Traceback" not in done.stderr


def test_the_file_of_the_guide_is_one():
    guide = (DOCS / "district_file.md").read_text()
    text = re.search(r"```toml\n(.*?)```", guide, re.DOTALL)[1]
    assert district_of_text(text).use_set("household").each == {"indoor"}
    assert text != SETTINGS
