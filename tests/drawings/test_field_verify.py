"""What a builder measures first: each thing unknown, assumed or arranged, once."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.making import site as made_up

from eavewell.drawings.compose import compose
from eavewell.drawings.field_verify import field_verify
from eavewell.drawings.plan import plan
from eavewell.files.site.reader import read_site
from eavewell.hydraulics.levels import schedule

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))


@pytest.fixture(params=NAMES)
def site(request):
    return read_site(EXAMPLES / request.param / "site.toml")


def test_nothing_stands_twice(site):
    found = field_verify(site)
    assert len(set(found)) == len(found)
    assert found[0] == "north: assumed up on the plan"


def test_every_unknown_level_is_listed(site):
    bare = replace(site, roofs=tuple(replace(one, eave_m=None) for one in site.roofs))
    found = field_verify(bare)
    for one in schedule(bare):
        assert (f"{one.thing}: level of {one.point}" in found) == (one.level_m is None)


def test_a_roof_known_by_its_area_is_to_be_measured():
    found = field_verify(read_site(EXAMPLES / "whole-house" / "site.toml"))
    assert "roof 'workshop': shape and sides; only its area is known" in found
    assert not any(text.startswith("roof 'house': shape") for text in found)
    assert "lift 'garden top-up': size and length of its pipe" in found


def test_what_the_plan_boxes_is_on_the_list(site):
    paper = compose(plan(site, size="tabloid", block={}))
    boxed = [one.text.words for one in paper.words if one.text.layer == "unknown"]
    found = " ".join(field_verify(site))
    for words in boxed:
        if "shape unknown" in words:
            assert "shape and sides" in found
        if "place not surveyed" in words:
            assert "distance to the" in found
        if "pipe not stated" in words:
            assert "its size, length and fall" in found or "size and length of its pipe" in found


def test_a_bare_site_has_a_long_list():
    found = field_verify(made_up())
    for told in ("diameter or sides", "distance to the property line", "level of floor", "slope"):
        assert any(told in line for line in found), told
