"""A site file of any release still reads."""

from pathlib import Path

import pytest

from eavewell.files.site.reader import read_site

FILES = sorted(Path(__file__).parent.glob("*/*.toml"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name} {file.stem}")
def test_it_still_reads(file):
    assert read_site(file).tanks


def test_each_release_has_its_starters():
    assert len([file for file in FILES if file.parent.name == "0.1"]) == 4
