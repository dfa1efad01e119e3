"""Every sheet as a drawing office has it: large letters, nothing struck, true scales."""

import re
from dataclasses import replace
from itertools import combinations, pairwise
from math import hypot
from pathlib import Path

import pytest
from tests.drawings.looking import met

from eavewell.drawings.boxes import Box, meet, near
from eavewell.drawings.compose import compose
from eavewell.drawings.details import details
from eavewell.drawings.letters import width_mm
from eavewell.drawings.plan import plan
from eavewell.drawings.plan_places import places
from eavewell.drawings.schematic import schematic
from eavewell.drawings.section import section
from eavewell.drawings.svg import svg
from eavewell.drawings.tags import tags
from eavewell.files.site.reader import read_site
from eavewell.hydraulics.first_flush_pipe import flush_pipes

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
BLOCK = {"project": "made up", "record": "invented", "date": "1 Jan 2026"}
# the least height of a capital on a print: ISO 3098 and common practice for full-size sheets
LEAST_MM = 2.5
FOOT = 0.3048


def site_of(name, system):
    site = read_site(EXAMPLES / name / "site.toml")
    return replace(site, place=replace(site.place, show=system))


def papers(site, size):
    flushes = flush_pipes(site)
    sheets = (
        section(site, flushes, size=size, block=BLOCK),
        plan(site, size=size, block=BLOCK),
        *schematic(site, size=size, block=BLOCK),
        *details(site, flushes, size=size, block=BLOCK),
    )
    return [compose(sheet) for sheet in sheets]


@pytest.fixture(
    scope="module",
    params=[(name, *how) for name in NAMES for how in (("us", "tabloid"), ("metric", "a3"))],
)
def drawn(request):
    name, system, size = request.param
    return papers(site_of(name, system), size)


def test_letters_are_large_enough_to_read(drawn):
    for paper in drawn:
        for one in paper.words:
            assert one.text.capital_mm >= LEAST_MM - 1e-9, (paper.sheet.name, one.text.words)


def test_nothing_is_lost_or_beyond_the_frame(drawn):
    for paper in drawn:
        assert paper.lost == ()
        assert met(paper) == []
        for one in paper.words:
            assert one.box.left >= 10.0, (paper.sheet.name, one.text.words)
            assert one.box.right <= paper.width_mm - 10.0, (paper.sheet.name, one.text.words)


def test_no_line_work_crosses_words(drawn):
    for paper in drawn:
        lines = [line for line in paper.lines if line.pattern is None]
        for one in paper.words:
            for line in lines:
                for start, end in pairwise(line.points):
                    crossed = one.box.crossed_by(start, end)
                    assert not crossed, (paper.sheet.name, one.text.words, line.of)


def shrunk(box):
    """A lead ends at the edge of its own words."""
    return Box(box.left + 0.05, box.low + 0.05, box.right - 0.05, box.high - 0.05)


def test_leads_cross_no_lead_and_no_words(drawn):
    for paper in drawn:
        leads = [line.points for line in paper.leads if not line.closed]
        for one, other in combinations(leads, 2):
            assert not meet(one, other), paper.sheet.name
        for start, end in leads:
            for one in paper.words:
                inner = shrunk(one.box)
                assert not inner.crossed_by(start, end), (paper.sheet.name, one.text.words)


def test_lines_grow_heavier_from_words_to_tanks():
    from eavewell.tables import rows

    wide = {row["layer"]: float(row["width_mm"]) for row in rows("layers")}
    assert wide["dimension"] < wide["fitting"] < wide["pipe"] < wide["tank"]
    assert wide["level"] < wide["water"] < wide["ground"]


@pytest.mark.parametrize("name", NAMES)
def test_the_staff_stands_at_the_levels(name):
    """A figure of the staff is as high on the sheet as that level in the section."""
    site = site_of(name, "us")
    paper = compose(section(site, flush_pipes(site), size="tabloid", block=BLOCK))
    names = [view.name for view in paper.sheet.views]
    view = paper.sheet.views[names.index("section")]
    figures = [one for one in paper.words if names[one.view] == "levels"]
    assert len(figures) > 5
    for one in figures:
        feet = float(re.fullmatch(r"(-?\d+) ft", one.text.words)[1])
        middle = one.text.at[1] + 0.4 * one.text.capital_mm
        assert middle == pytest.approx(view.on_paper((0.0, feet * FOOT))[1], abs=1e-6)


def test_the_scale_upward_is_one_that_a_ruler_has():
    site = site_of("whole-house", "us")
    sheet = section(site, flush_pipes(site), size="tabloid", block=BLOCK)
    said = dict(sheet.block)["scale"]
    inches = re.match(r"upward (\d+)/(\d+) in = 1 ft", said)
    # so many inches of paper for a foot: 25.4 mm for 0.3048 m
    paper_mm = 25.4 * int(inches[1]) / int(inches[2])
    assert sheet.views[0].up == pytest.approx(paper_mm / FOOT)


@pytest.mark.parametrize("name", NAMES)
def test_pipes_meet_round_tanks_at_their_walls(name):
    site = site_of(name, "metric")
    where = places(site)
    sheet = plan(site, size="a3", block=BLOCK)
    strokes = [mark for mark in sheet.views[0].marks if getattr(mark, "of", "").startswith("line ")]
    for line in site.lines:
        stand = where.stores[line.source]
        if not stand.round:
            continue
        last = stand.boxes[-1]
        middle = ((last.left + last.right) / 2, (last.low + last.high) / 2)
        radius = (last.right - last.left) / 2
        (first,) = [
            mark.points[0]
            for mark in strokes
            if mark.of == f"line {line.name}" and len(getattr(mark, "points", ())) > 2
        ]
        far = hypot(first[0] - middle[0], first[1] - middle[1])
        assert far == pytest.approx(radius)


def test_a_long_key_goes_on_to_a_further_sheet():
    """Sixty lines of 4.5 mm are 270 mm: more than a sheet of 279 mm has above its block."""
    site = site_of("whole-house", "us")
    line = site.lines[0]
    more = tuple(replace(line.outlets[0], name=f"basin {at}") for at in range(60))
    many = replace(site, lines=(replace(line, outlets=more), *site.lines[1:]))
    sheets = schematic(many, size="tabloid", block=BLOCK)
    assert [sheet.name for sheet in sheets][:2] == ["schematic", "schematic-2"]
    laid_out = [compose(sheet) for sheet in sheets]
    said = []
    for paper in laid_out:
        names = [view.name for view in paper.sheet.views]
        keys = [one for one in paper.words if names[one.view] == "key"]
        assert all(one.text.capital_mm >= LEAST_MM for one in keys)
        said += [one.text.words for one in keys]
    for one in tags(many):
        assert said.count(str(one.number)) == 1


def test_details_use_their_sheet():
    """A standpipe of 6 ft 7 in stands at least a third as high as the sheet."""
    site = site_of("whole-house", "us")
    sheet = details(site, flush_pipes(site), size="tabloid", block=BLOCK)[0]
    view = next(one for one in sheet.views if one.name == "First flush: roof house")
    assert view.up * (6 + 7 / 12) * FOOT > 279.4 / 3


@pytest.mark.parametrize("size", ["letter", "a4"])
@pytest.mark.parametrize("name", NAMES)
def test_half_size_sheets_say_what_found_no_room(name, size):
    for paper in papers(site_of(name, "us" if size == "letter" else "metric"), size):
        assert met(paper) == [], paper.sheet.name
        said = [one.text.words for one in paper.words]
        assert any(words.startswith("no room here for: ") for words in said) == bool(paper.lost)


def test_an_overflow_of_unknown_level_is_drawn_and_told():
    site = site_of("barrels", "us")
    bare = replace(site, tanks=(replace(site.tanks[0], base_m=None),))
    paper = compose(section(bare, flush_pipes(bare), size="tabloid", block=BLOCK))
    assert "overflow: level unknown" in [one.text.words for one in paper.words]
    assert any(one.layer == "unknown" and one.of == "tank barrels" for one in paper.lines)


def test_words_keep_their_width_in_any_font():
    site = site_of("barrels", "us")
    text = svg(compose(section(site, flush_pipes(site), size="tabloid", block=BLOCK)))
    wide = width_mm("shed, gutter 7 ft", 2.5, weight="Medium")
    assert f'textLength="{wide:.2f}"' in text
    for name in re.findall(r"url\(#([a-z-]+)\)", text):
        assert f'<pattern id="{name}"' in text


def test_a_lead_is_seen_beside_a_line_only():
    assert near((5.0, 0.2), ((0.0, 0.0), (10.0, 0.0)))
    assert not near((5.0, 1.0), ((0.0, 0.0), (10.0, 0.0)))
    assert not near((12.0, 0.0), ((0.0, 0.0), (10.0, 0.0)))
    assert meet(((0.0, 0.0), (2.0, 2.0)), ((0.0, 2.0), (2.0, 0.0)))
    assert not meet(((0.0, 0.0), (1.0, 0.0)), ((0.0, 1.0), (1.0, 1.0)))
