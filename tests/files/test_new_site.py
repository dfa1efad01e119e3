"""A new site is a starter under its own name; nothing is ever overwritten."""

from pathlib import Path

import pytest

from eavewell.faults import BadSite
from eavewell.files.site.new_site import STARTERS, new_site, starter_text
from eavewell.files.site.reader import read_site

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize("like", STARTERS)
def test_a_starter_is_written_and_reads(tmp_path, like):
    file = new_site("Upper pasture", like, folder=tmp_path)
    assert file == tmp_path / "Upper pasture" / "site.toml"
    assert read_site(file).name == "Upper pasture"
    assert file.read_text(encoding="utf-8").count("#") == starter_text(like).count("#")


@pytest.mark.parametrize("like", STARTERS)
def test_the_examples_are_the_starters(like):
    assert (EXAMPLES / like / "site.toml").read_text(encoding="utf-8") == starter_text(like)


def test_nothing_is_overwritten(tmp_path):
    file = new_site("a", "barrels", folder=tmp_path)
    file.write_text("mine", encoding="utf-8")
    with pytest.raises(BadSite, match="is there already"):
        new_site("a", "whole-house", folder=tmp_path)
    assert file.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("name", ["", "..", "../up", "a/b", "/a", "a\\b", " a", "a\n", "x" * 99])
def test_a_name_cannot_lead_elsewhere(tmp_path, name):
    with pytest.raises(BadSite, match="cannot name a folder"):
        new_site(name, "barrels", folder=tmp_path)
    assert not list(tmp_path.iterdir())


def test_an_unknown_starter_is_a_sentence(tmp_path):
    with pytest.raises(BadSite, match="did you mean 'barrels'"):
        new_site("a", "barrel", folder=tmp_path)


def test_a_folder_that_cannot_be_is_a_sentence(tmp_path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(BadSite, match=r"cannot be written|is there already"):
        new_site("a", "barrels", folder=tmp_path / "file")
