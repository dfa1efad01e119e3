"""The schematic: every tag once in its ring and once in the key, words on nothing."""

import io
import random
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from tests.drawings.looking import met, unboxed
from tests.making import roof, tank, use
from tests.making import site as made_up

from eavewell.drawings.compose import compose
from eavewell.drawings.dxf import dxf
from eavewell.drawings.schematic import schematic
from eavewell.drawings.svg import svg
from eavewell.drawings.tags import tags
from eavewell.faults import EavewellFault
from eavewell.files.site.reader import read_site
from eavewell.site.lift import Lift
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.reserve import Reserve
from eavewell.site.screen import Screen
from eavewell.site.tank_shape import UprightCylinder

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
BLOCK = {"project": "made up", "record": "invented"}


@pytest.fixture(scope="module", params=NAMES)
def site(request):
    return read_site(EXAMPLES / request.param / "site.toml")


def sheets(site, size="tabloid"):
    return [compose(sheet) for sheet in schematic(site, size=size, block=BLOCK)]


def drawn(site, size="tabloid"):
    return sheets(site, size)[0]


def words(paper, view=None):
    """What stands on the views of that name; on all but the frame without one."""
    names = [one.name for one in paper.sheet.views]
    return [one.text.words for one in paper.words if view in (None, names[one.view])]


def all_words(papers, view=None):
    return [said for paper in papers for said in words(paper, view)]


@pytest.mark.parametrize("size", ["tabloid", "a3"])
def test_no_words_stand_on_words(site, size):
    for paper in sheets(site, size):
        assert paper.lost == ()
        assert met(paper) == []
        assert unboxed(paper) == []


def test_every_number_is_drawn_and_named_once(site):
    papers = sheets(site)
    for one in tags(site):
        assert all_words(papers, "schematic").count(str(one.number)) == 1, one
        assert all_words(papers, "key").count(str(one.number)) == 1, one


def test_the_valve_chart_has_the_same_numbers(site):
    papers = sheets(site)
    for one in tags(site):
        if one.closes:
            assert str(one.number) in all_words(papers, "schematic"), one


def test_what_is_held_stands_in_the_key(site):
    said = all_words(sheets(site), "key")
    for one in tags(site):
        for held in one.holds:
            assert any(held.startswith(line) for line in said), held


def test_outlets_leave_at_their_levels(site):
    """Higher outlets higher on the store, in proportion to its height."""
    paper = drawn(site)
    for line in site.lines:
        (store,) = [one for one in site.tanks if one.name == line.source]
        level_m = line.level_m if line.level_m is not None else store.base_m + store.outlet_m
        boxes = [
            one.points
            for one in paper.lines
            if one.layer == "tank" and one.of == f"tank {store.name}"
        ]
        ((low, high),) = [(points[0][1], points[1][1]) for points in boxes]
        starts = [
            one.points[0] for one in paper.lines if one.of == f"line {line.name}" and one.view == 0
        ]
        share = (level_m - store.base_m) / store.shape.height_m
        assert any(y == pytest.approx(low + share * (high - low), abs=1e-6) for _, y in starts)


def test_cad_and_svg(site):
    paper = drawn(site)
    audit = ezdxf.read(io.StringIO(dxf(paper))).audit()
    assert (audit.errors, audit.fixes) == ([], [])
    ElementTree.fromstring(svg(paper))


def test_a_reserve_without_a_line_is_listed():
    made = made_up(uses=(use(reserve=Reserve(share=0.2, held_by="valve")),))
    said = " ".join(all_words(sheets(made), "key"))
    assert "by no valve or float of this drawing" in said
    assert "reserve against house 20 %" in said


def test_unknown_levels_say_so():
    assert "levels unknown" in words(drawn(made_up()))


def any_site(seed):
    """Stores, roofs and lines by chance, more and odder than people build."""
    dice = random.Random(seed)
    one_of = dice.choice
    stores = [
        tank(
            1000.0,
            name=f"store {at}",
            shape=one_of([None, UprightCylinder(1.0, 2.0)]),
            base_m=one_of([None, 0.5]),
            overflow_m=one_of([None, 0.3, 1.9]),
            overflow_to=one_of(["", "swale", "x" * 80]),
            outlet_m=one_of([None, 0.1]),
        )
        for at in range(dice.randint(1, 5))
    ]
    known = [one.name for one in stores]
    roofs = [
        replace(
            roof(to=one_of(known), name=f"roof {at}"),
            screens=tuple(Screen(f"s{n}", 0.9) for n in range(dice.randint(0, 6))),
        )
        for at in range(dice.randint(1, 6))
    ]
    lines = [
        Line(
            f"line {at}",
            one_of(known),
            Pipe(25.0, 10.0),
            level_m=one_of([None, 0.7, 0.75, 1.5]),
            in_line=tuple(
                InLine(f"f{n}", "filter", 0.1, 1.0, 2.0) for n in range(dice.randint(0, 12))
            ),
            outlets=tuple(
                Outlet(f"o{n}", "lavatory", level_m=one_of([None, 1.0]))
                for n in range(dice.randint(0, 30))
            ),
        )
        for at in range(dice.randint(0, 7))
    ]
    pairs = pairwise(known)
    lifts = [Lift(f"{one} to {other}", one, other, stop_m=0.1) for one, other in pairs]
    return made_up(
        tanks=tuple(stores),
        roofs=tuple(roofs),
        uses=(use(draws_from=tuple(known)),),
        lines=tuple(lines),
        lifts=tuple(lifts),
    )


@pytest.mark.parametrize("seed", range(50))
def test_any_site_has_its_schematic(seed):
    made = any_site(seed)
    papers = sheets(made)
    for paper in papers:
        pairs = met(paper)
        assert not pairs, f"{len(pairs)} {pairs[:3]}"
    numbers = all_words(papers, "key")
    assert all(str(one.number) in numbers for one in tags(made))


@pytest.mark.parametrize("name", ["<b>&\"'</b>", "x" * 300, "Größe 5 м"])
def test_odd_names_are_drawn(name):
    odd = made_up(tanks=(tank(name=name),), roofs=(roof(to=name, name=name),))
    paper = drawn(replace(odd, uses=(use(draws_from=(name,), name=name),)))
    assert met(paper) == []
    ElementTree.fromstring(svg(paper))


def test_letters_that_no_font_has_are_told():
    odd = made_up(tanks=(tank(name="מיכל"),), uses=(use(draws_from=("מיכל",)),))
    with pytest.raises(EavewellFault, match="letters for labels lack"):
        drawn(odd)
