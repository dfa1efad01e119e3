"""The plan of each example: sizes and stated distances to scale, the rest arranged and told."""

import io
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from tests.drawings.looking import met, unboxed
from tests.making import site as made_up
from tests.making import tank, use

from eavewell.drawings.compose import compose
from eavewell.drawings.dxf import dxf
from eavewell.drawings.plan import plan
from eavewell.drawings.plan_places import places
from eavewell.drawings.scales import largest_scale, scales
from eavewell.drawings.svg import svg
from eavewell.faults import EavewellFault
from eavewell.files.site.reader import read_site
from eavewell.site.roof import Plane, Roof
from eavewell.site.tank_shape import UprightCylinder
from eavewell.units import show

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
BLOCK = {"project": "made up", "record": "invented"}


@pytest.fixture(scope="module", params=NAMES)
def site(request):
    return read_site(EXAMPLES / request.param / "site.toml")


def drawn(site, size="tabloid"):
    return compose(plan(site, size=size, block=BLOCK))


def words(paper):
    return [one.text.words for one in paper.words]


@pytest.mark.parametrize("size", ["tabloid", "a3"])
def test_no_words_stand_on_words(site, size):
    paper = drawn(site, size)
    assert paper.lost == ()
    assert met(paper) == []
    assert unboxed(paper) == []


def test_tanks_come_back_from_cad_at_their_size(site):
    doc = ezdxf.read(io.StringIO(dxf(drawn(site))))
    audit = doc.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    circles = [one.dxf.radius for one in doc.modelspace().query('CIRCLE[layer=="TANK"]')]
    for one in site.tanks:
        if isinstance(one.shape, UprightCylinder):
            found = [r for r in circles if r == pytest.approx(one.shape.diameter_m / 2, abs=1e-3)]
            assert len(found) >= min(one.count, 3)


def test_roofs_have_their_area(site):
    for roof in site.roofs:
        for ground in places(site).roofs[roof.name]:
            corners = ground.corners
            following = (*corners[1:], corners[0])
            twice = sum(x * v - u * y for (x, y), (u, v) in zip(corners, following, strict=True))
            assert abs(twice) / 2 == pytest.approx(ground.plane.plan_area_m2)


def test_stated_distances_are_drawn_true(site):
    where, said = places(site), words(drawn(site))
    for one in site.tanks:
        for name, far in one.distances:
            shown = show(far, "length", system=site.place.show)
            if name == "property line":
                stand = where.stores[one.name]
                assert stand.box.low - where.property_m == pytest.approx(far)
            assert any(shown in text for text in said)


def test_overflows_let_go_at_their_distance(site):
    paper = drawn(site)
    view = paper.sheet.views[0]
    for one in site.tanks:
        over = one.fittings.overflow
        if over is None or over.away_m is None:
            continue
        ends = [
            line.points[-1]
            for line in paper.lines
            if line.layer == "overflow" and line.of == f"tank {one.name}" and len(line.points) == 3
        ]
        wall = view.on_paper((0.0, 0.0))[1]
        away = [(wall - y) / view.up for _, y in ends]
        assert any(far == pytest.approx(over.away_m, abs=1e-3) for far in away)


def test_tanks_stand_clear_of_buildings_and_of_each_other(site):
    where = places(site)
    stands = list(where.stores.values())
    for at, one in enumerate(stands):
        assert one.box.high < 0.0
        assert not any(one.box.meets(other.box) for other in stands[:at])


def test_what_is_not_known_is_told():
    sheet = made_up(
        tanks=(tank(500.0),),
        roofs=(Roof("barn", (Plane("all", 60.0),), "metal", "tank"),),
        uses=(use(),),
    )
    said = " ".join(words(drawn(sheet)))
    for told in ("shape unknown", "size unknown", "place not surveyed", "north assumed up"):
        assert told in said
    assert "pipe not stated" in said


def test_corners_that_belie_their_area_are_not_drawn():
    square = ((0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (0.0, 5.0))
    roof = Roof("barn", (Plane("all", 60.0, square),), "metal", "tank")
    (ground,) = places(made_up(roofs=(roof,))).roofs["barn"]
    assert not ground.known


@pytest.mark.parametrize("name", ["<b>&\"'</b>", "x" * 300, "Größe 5 м", "a  b\n c"])
def test_odd_names_are_drawn(name):
    store = tank(500.0, name=name)
    odd = made_up(tanks=(store,), roofs=(Roof(name, (Plane(name, 60.0),), "metal", name),))
    paper = drawn(replace(odd, uses=(use(draws_from=(name,)),)))
    assert paper.lost == ()
    assert met(paper) == []
    ElementTree.fromstring(svg(paper))


def test_letters_that_no_font_has_are_told():
    odd = made_up(roofs=(Roof("גג", (Plane("all", 60.0),), "metal", "tank"),))
    with pytest.raises(EavewellFault, match="letters for labels lack"):
        drawn(odd)


def test_the_scale_is_the_largest_that_fits():
    from eavewell.drawings.boxes import Box

    room = Box(0.0, 0.0, 300.0, 200.0)
    # 300 mm over 30 m is 1:100; a little more does not fit
    assert largest_scale(30.0, 10.0, room=room, system="metric").called == "1:100"
    assert largest_scale(30.1, 10.0, room=room, system="metric").called == "1:150"
    assert largest_scale(1e9, 1.0, room=room, system="us") == scales("us")[-1]


def test_scales_say_what_they_are():
    # one inch of paper for so many feet
    called = {one.called: one.mm_m for one in scales("us")}
    assert called["1 in = 20 ft"] == pytest.approx(25.4 / (20 * 0.3048))
    assert called["1/16 in = 1 ft"] == pytest.approx(25.4 / 16 / 0.3048)
    assert {one.called: one.mm_m for one in scales("metric")}["1:200"] == 5.0


def test_the_block_tells_scale_and_caution(site):
    said = " ".join(words(drawn(site)))
    assert "not for construction until checked" in said
    assert "made up" in said
    assert any(one.called in said for one in scales(site.place.show))
