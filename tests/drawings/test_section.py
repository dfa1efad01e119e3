"""The section of each example: levels where they are, words on nothing, unknown told."""

import io
import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest

from eavewell.drawings.compose import compose
from eavewell.drawings.dxf import dxf
from eavewell.drawings.section import section
from eavewell.drawings.svg import svg
from eavewell.files.site.reader import read_site
from eavewell.hydraulics.first_flush_pipe import flush_pipes
from eavewell.hydraulics.levels import schedule
from eavewell.units import show

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
BLOCK = {"project": "made up", "record": "invented"}


@pytest.fixture(scope="module", params=NAMES)
def site(request):
    return read_site(EXAMPLES / request.param / "site.toml")


def drawn(site, size="tabloid"):
    return compose(section(site, flush_pipes(site), size=size, block=BLOCK))


def words(paper):
    return [one.text.words for one in paper.words]


@pytest.mark.parametrize("size", ["tabloid", "a3"])
def test_no_words_stand_on_words(site, size):
    paper = drawn(site, size)
    assert paper.lost == ()
    boxes = [one.box for one in paper.words]
    met = [
        (paper.words[i].text.words, paper.words[j].text.words)
        for i in range(len(boxes))
        for j in range(i)
        if boxes[i].meets(boxes[j])
    ]
    assert met == []


def test_every_tank_level_is_told(site):
    said = words(drawn(site))
    system = site.place.show
    for one in schedule(site):
        if one.thing.startswith(("tank", "roof", "ground")) and one.level_m is not None:
            if one.point in ("inlet",) or (one.thing.startswith("roof") and not _caught(site, one)):
                continue
            assert any(show(one.level_m, "level", system=system) in text for text in said), one


def _caught(site, level):
    name = re.match(r"roof '(.*)'", level.thing)[1]
    return any(roof.name == name and roof.drains_to for roof in site.roofs)


def test_heights_are_to_scale(site):
    paper = drawn(site)
    view = paper.sheet.views[0]
    assert view.up >= view.across
    for tank in site.tanks:
        marks = [one for one in paper.words if one.text.of == f"tank {tank.name}"]
        assert marks
        (*_, outline) = [
            one
            for one in paper.lines
            if one.of == f"tank {tank.name}" and one.layer == "tank" and one.closed
        ]
        low, high = (end(y for _, y in outline.points) for end in (min, max))
        assert (high - low) / view.up == pytest.approx(tank.shape.height_m)
        assert low == pytest.approx(view.on_paper((0.0, tank.base_m))[1])


def test_cad_gives_diameters_and_levels_back(site):
    doc = ezdxf.read(io.StringIO(dxf(drawn(site))))
    audit = doc.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    sizes = set()
    for line in doc.modelspace().query('LWPOLYLINE[layer=="TANK"]'):
        points = [point[:2] for point in line.get_points()]
        across = max(x for x, _ in points) - min(x for x, _ in points)
        sizes.add((round(across, 3), round(min(y for _, y in points), 3)))
    for tank in site.tanks:
        wide = getattr(tank.shape, "diameter_m", None) or tank.shape.length_m
        assert (round(wide, 3), round(tank.base_m, 3)) in sizes


def test_the_svg_is_well_formed_and_names_its_things(site):
    root = ElementTree.fromstring(svg(drawn(site)))
    named = {one.get("data-of") for one in root.iter()} - {None}
    assert {f"tank {tank.name}" for tank in site.tanks} <= named
    assert {f"roof {roof.name}" for roof in site.roofs if roof.drains_to} <= named


def test_an_unknown_level_is_dashed_and_says_so(site):
    roofs = tuple(replace(roof, eave_m=None) for roof in site.roofs)
    paper = drawn(replace(site, roofs=roofs))
    (first, *_) = [roof for roof in roofs if roof.drains_to]
    assert f"{first.name}, gutter: level unknown" in words(paper)
    assert any(one.layer == "unknown" and one.of == f"roof {first.name}" for one in paper.lines)


def test_nothing_known_is_still_a_sheet(site):
    tanks = tuple(replace(tank, base_m=None, overflow_m=None) for tank in site.tanks)
    paper = drawn(replace(site, tanks=tanks, runs=(), lifts=(), lines=()))
    assert any("level unknown" in text for text in words(paper))


def test_the_block_tells_scale_and_caution(site):
    said = " ".join(words(drawn(site)))
    assert "not for construction until checked" in said
    assert "upward " in said
    assert "across pressed to 1:" in said
    assert "made up" in said
