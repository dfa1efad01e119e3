"""What was set out on the sheet stands on the plan where it was measured."""

import tomllib
from math import hypot
from pathlib import Path

import pytest
from tests.drawings.looking import met

from eavewell.drawings.compose import compose
from eavewell.drawings.field_verify import field_verify
from eavewell.drawings.plan import plan
from eavewell.drawings.plan_places import around, places
from eavewell.drawings.plan_traced import set_out
from eavewell.drawings.svg import svg
from eavewell.files.site.reader import site_of_text
from eavewell.files.site.tracing import Drawn, drawn_in, traced_text

BARN = Path(__file__).parents[2] / "examples" / "low-eaves" / "site.toml"
BLOCK = {"project": "Quailwater stock barn"}
FT = 0.3048


def _ft(*points: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    return tuple((x * FT, y * FT) for x, y in points)


DRAWN = (
    Drawn("plane", "", _ft((10, 30), (110, 30), (110, 55), (10, 55)), 0, 1),
    Drawn("plane", "", _ft((10, 55), (110, 55), (110, 80), (10, 80)), 0, 0),
    Drawn("tank", "ground tank", _ft((130, 50))),
    Drawn("pipe", "barn drain", _ft((110, 32), (122, 32), (125, 50))),
    Drawn("tree", "old oak", _ft((-20, 90)), across_m=9.0),
    Drawn("property", "", _ft((-50, -10), (170, 0), (180, 120))),
)


@pytest.fixture(scope="module")
def barn():
    text = traced_text(BARN.read_text(), DRAWN, unit="ft", north_deg=30.0)
    return site_of_text(text, folder=str(BARN.parent))


def test_areas_and_lengths_are_those_of_the_outlines(barn):
    assert [one.plan_area_m2 / FT**2 for one in barn.roofs[0].planes] == pytest.approx([2500, 2500])
    # 12 ft along, then 3 ft by 18 ft; written to 0.001 ft
    assert barn.runs[0].pipe.length_m / FT == pytest.approx(12 + hypot(3, 18), abs=0.001)


def test_places_keep_their_distances(barn):
    where = set_out(barn, places(barn))
    (north, south) = where.roofs["barn"]
    assert around(north.corners).low == pytest.approx(25 * FT) and around(south.corners).low == 0.0
    box = where.stores["ground tank"].boxes[0]
    middle = ((box.left + box.right) / 2, (box.low + box.high) / 2)
    # the lower left of the building is at 10 ft along and 30 ft to the left
    assert middle == pytest.approx((120 * FT, 20 * FT))
    assert where.ways["barn drain"][0] == pytest.approx((100 * FT, 2 * FT))
    assert where.trees[0].at_m == pytest.approx((-30 * FT, 60 * FT))


def test_the_sheet_shows_them_and_no_words_meet(barn):
    paper = compose(plan(barn, size="tabloid", block=BLOCK))
    drawn = svg(paper)
    assert not met(paper)
    for words in ("old oak", "property line", "north 30 degrees clockwise from up"):
        assert words in drawn
    assert "north assumed" not in drawn and "place not surveyed" not in drawn.split("sump")[0]


def test_a_second_look_changes_nothing(barn):
    text = traced_text(BARN.read_text(), DRAWN, unit="ft", north_deg=30.0)
    again = drawn_in(tomllib.loads(text))
    assert traced_text(text, again, unit="ft", north_deg=30.0) == text


def test_a_pipe_measured_along_itself_keeps_its_length_until_its_way_changes():
    text = traced_text(BARN.read_text(), DRAWN, unit="ft", north_deg=None)
    length = "30.248 ft"
    assert f'length = "{length}"' in text
    measured = text.replace(length, "41 ft")
    assert 'length = "41 ft"' in traced_text(measured, DRAWN, unit="ft", north_deg=None)
    moved = [
        Drawn(one.kind, one.of, _ft((0, 0), (3, 4))) if one.kind == "pipe" else one for one in DRAWN
    ]
    assert 'length = "5 ft"' in traced_text(measured, moved, unit="ft", north_deg=None)


def _traced(*kinds: str):
    kept = [one for one in DRAWN if one.kind in kinds]
    text = traced_text(BARN.read_text(), kept, unit="ft", north_deg=None)
    site = site_of_text(text, folder=str(BARN.parent))
    return site, set_out(site, places(site))


def test_tanks_keep_their_place_where_no_roof_is_set_out():
    site, where = _traced("tank", "pipe", "tree")
    box = where.stores["ground tank"].boxes[0]
    middle = ((box.left + box.right) / 2, (box.low + box.high) / 2)
    # the pipe ends 5 ft before the middle of the tank, as on the sheet; the tree stands 150 ft away
    end, tree = where.ways["barn drain"][-1], where.trees[0].at_m
    assert middle[0] - end[0] == pytest.approx(5 * FT) and middle[1] == pytest.approx(end[1])
    assert middle[0] - tree[0] == pytest.approx(150 * FT)
    assert middle[1] - tree[1] == pytest.approx(-40 * FT)
    assert where.roofs == places(site).roofs
    assert box.left > where.buildings.right
    paper = compose(plan(site, size="tabloid", block=BLOCK))
    assert "stand where they were measured" in " ".join(paper.sheet.notes)
    assert not met(paper)


@pytest.mark.parametrize("kinds", [(), ("property",), ("property", "tree")])
def test_no_part_set_out_is_arranged_as_ever(kinds):
    site, where = _traced(*kinds)
    assert where == places(site)


def test_what_was_set_out_is_not_to_be_measured_again(barn):
    found = field_verify(barn)
    assert not any(one.startswith(("north", "pipe 'barn drain': its way")) for one in found)
    bare = field_verify(_traced()[0])
    assert "north: assumed up on the plan" in bare
    assert "pipe 'barn drain': its way; only its length is known" in bare
