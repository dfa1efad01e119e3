"""Details that the design asks for, at the sizes that were worked out."""

import io
from dataclasses import replace
from math import pi
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from tests.drawings.looking import met, unboxed
from tests.making import site as made_up
from tests.making import tank

from eavewell.drawings.compose import compose
from eavewell.drawings.details import chosen, details
from eavewell.drawings.dxf import dxf
from eavewell.drawings.svg import svg
from eavewell.files.site.reader import read_site
from eavewell.hydraulics.first_flush_pipe import flush_pipes
from eavewell.site.base import Base
from eavewell.site.tank_fittings import Overflow, TankFittings
from eavewell.units import show

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
BLOCK = {"project": "made up", "record": "invented"}
FOOT, GALLON_L = 0.3048, 3.785411784


def example(name):
    return read_site(EXAMPLES / name / "site.toml")


@pytest.fixture(scope="module", params=NAMES)
def site(request):
    return example(request.param)


def drawn(site, size="tabloid"):
    sheets = details(site, flush_pipes(site), size=size, block=BLOCK)
    return [compose(sheet) for sheet in sheets]


def words(papers):
    return [one.text.words for paper in papers for one in paper.words]


def titles(site):
    return [one.title for one in chosen(site, flush_pipes(site))]


@pytest.mark.parametrize("size", ["tabloid", "a3"])
def test_no_words_stand_on_words(site, size):
    for paper in drawn(site, size):
        assert paper.lost == ()
        assert met(paper) == []
        assert unboxed(paper) == []


def test_words_stay_in_the_cell_of_their_detail(site):
    for paper in drawn(site):
        for one in paper.words:
            room = paper.sheet.views[one.view].within_mm
            if room is not None and one.text.layer != "dimension":
                left, _, right, _ = room
                assert left - 3.0 <= one.box.left, one.text.words
                assert one.box.right <= right + 3.0, one.text.words


def test_the_design_chooses():
    assert titles(example("barrels")) == [
        "First flush: roof shed",
        "Barrel: barrels",
        "Overflow: barrels",
    ]
    low = titles(example("low-eaves"))
    assert "Sump: sump" in low
    assert "Base: ground tank" in low
    house = titles(example("whole-house"))
    assert "Filter and lamp wall: house water" in house
    assert house.count("Transition piece, rectangular to round") == 1
    assert titles(made_up()) == []
    assert drawn(made_up()) == []


def test_a_standpipe_is_as_long_as_its_water(site):
    for one in flush_pipes(site):
        if one.length_m is not None:
            litres = pi / 4 * (one.flush.bore_mm / 1000) ** 2 * one.length_m * 1000
            assert litres == pytest.approx(one.volume_l)
            assert show(one.length_m, "length", system=site.place.show) in words(drawn(site))


def test_a_standpipe_without_bore_says_so():
    said = words(drawn(example("barrels")))
    assert "length unknown: bore unknown" in said


def test_treated_timber_never_touches_the_liner():
    said = words(drawn(example("low-eaves")))
    assert "Creosoted or treated timber never touches the liner." in said
    assert "edging, untreated and rot-proof" in said


def test_sump_levels_are_the_datum_s():
    said = words(drawn(example("low-eaves")))
    # floor -6 ft 6 in, floats 2 ft 6 in and 8 in above it, spillway 5 ft 6 in above it
    for told in ("floor -6 ft 6 in", "starts -4 ft", "stops -5 ft 10 in"):
        assert told in said
    assert any(text.startswith("spillway") and text.endswith(" -1 ft") for text in said)


def test_the_air_break_is_measured_to_scale():
    (paper,) = drawn(example("low-eaves"))
    (at,) = [n for n, one in enumerate(paper.sheet.views) if one.name == "Overflow: ground tank"]
    view = paper.sheet.views[at]
    (gap,) = [one for one in view.marks if getattr(one, "words", "") == "1 ft"]
    assert gap.end[1] - gap.start[1] == pytest.approx(FOOT)
    assert view.across == view.up


def test_cad_and_svg(site):
    for paper in drawn(site):
        audit = ezdxf.read(io.StringIO(dxf(paper))).audit()
        assert (audit.errors, audit.fixes) == ([], [])
        ElementTree.fromstring(svg(paper))


def test_unknown_sizes_are_boxed():
    bare = tank(
        500.0,
        overflow_to="swale",
        stands_on=Base("crushed rock"),
        fittings=TankFittings(overflow=Overflow()),
    )
    said = words(drawn(made_up(tanks=(bare,))))
    for told in ("edge unknown", "thickness unknown", "air break unknown"):
        assert told in said


def test_the_lamp_says_what_shuts():
    said = " ".join(words(drawn(example("whole-house"))))
    assert "a valve before it stays shut without power" in said


@pytest.mark.parametrize("name", ["<b>&\"'</b>", "x" * 300, "Größe 5 м"])
def test_odd_names_are_drawn(name):
    made = example("low-eaves")
    tanks = tuple(replace(one, overflow_to=name) for one in made.tanks)
    for paper in drawn(replace(made, tanks=tanks)):
        assert met(paper) == []
        assert paper.lost == ()
        ElementTree.fromstring(svg(paper))
