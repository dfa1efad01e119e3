"""Editing one field keeps the rest of the file; a faulty result leaves it untouched."""

import re

import pytest

from eavewell.faults import BadSite
from eavewell.files.site.edit import set_field
from eavewell.files.site.new_site import starter_text

GAL = 3.785411784


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "site.toml"
    path.write_text(starter_text("whole-house"), encoding="utf-8")
    return path


def changed_lines(before, after):
    old, new = before.splitlines(), after.splitlines()
    assert len(old) == len(new)
    return [(one, other) for one, other in zip(old, new, strict=True) if one != other]


def test_one_value_changes_and_every_comment_stays(file):
    before = file.read_text(encoding="utf-8")
    site = set_field(file, ("tank", "main", "each"), value="2,750 gal")
    assert site.tank("main").stated_l == pytest.approx(2750 * GAL)
    ((old, new),) = changed_lines(before, file.read_text(encoding="utf-8"))
    assert new == re.sub("[0-9],[0-9]+ gal", "2,750 gal", old)
    assert "# as the maker states it" in new


@pytest.mark.parametrize(
    ("address", "value"),
    [
        (("name",), "New name"),
        (("place", "latitude"), 31.5),
        (("roof", 1, "area"), "1,900 ft2"),
        (("use", "garden", "plants", "orchard", "area"), "250 ft2"),
        (("use", "household", "ration", 0, "share"), "75 %"),
        (("goal", "garden", "supplied_share"), 0.5),
        (("lift", 0, "limit"), "400 gal/day"),
    ],
)
def test_any_field_can_be_reached(file, address, value):
    before = file.read_text(encoding="utf-8")
    set_field(file, address, value=value)
    after = file.read_text(encoding="utf-8")
    assert len(changed_lines(before, after)) == 1
    assert before.count("#") == after.count("#")


def test_a_field_is_added_and_taken_out(file):
    before = file.read_text(encoding="utf-8")
    set_field(file, ("tank", "header", "dead"), value="3 gal")
    assert 'dead = "3 gal"' in file.read_text(encoding="utf-8")
    set_field(file, ("tank", "header", "dead"), value=None)
    assert file.read_text(encoding="utf-8").split() == before.split()


@pytest.mark.parametrize(
    ("address", "value", "reason"),
    [
        (("tank", "main", "each"), "2,800", "no unit"),
        (("tank", "main", "overflow_to"), "header", "circle"),
        (("tank", "mian", "each"), "2,800 gal", "did you mean 'main'"),
        (("tank", 7, "each"), "2,800 gal", "There is no tank.7"),
        (("roof", "house", "finish"), None, "finish is missing"),
        (("roof", "house", "eve"), "9 ft", "did you mean"),
        (("place", "latitude"), 200.0, "too large"),
        (("place", "latitude", "more"), 1, "does not name a field"),
        (("nothing", "here"), 1, "'nothing' is not a field here"),
        (("roof", "house", "nothing"), None, "There is no roof.house.nothing"),
        (("name",), object(), "cannot be set"),
        ((), 1, "does not name a field"),
        (("roof", 0), "x", "does not name a field"),
    ],
)
def test_a_faulty_edit_leaves_the_file_as_it_was(file, address, value, reason):
    before = file.read_bytes()
    with pytest.raises(BadSite, match=reason):
        set_field(file, address, value=value)
    assert file.read_bytes() == before
    assert [entry.name for entry in file.parent.iterdir()] == ["site.toml"]


def test_a_faulty_file_can_be_put_right(file):
    text = file.read_text(encoding="utf-8").replace('overflow = "6 ft 10 in"', 'overflow = "9 ft"')
    file.write_text(text, encoding="utf-8")
    assert set_field(file, ("tank", "main", "overflow"), value="7 ft").tanks


def test_line_ends_and_rights_are_kept(file):
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    file.chmod(0o640)
    set_field(file, ("name",), value="New")
    data = file.read_bytes()
    assert data.count(b"\r\n") == data.count(b"\n")
    assert file.stat().st_mode & 0o777 == 0o640
