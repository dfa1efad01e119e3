"""The section from sky to tap across the top of a page: its things lead to their fields.

The roof edges and the rims of tanks carry grips, which move the level that the file states.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from html import escape

from markupsafe import Markup

from eavewell.drawings.compose import Paper, compose
from eavewell.drawings.marks import View
from eavewell.drawings.section import section
from eavewell.drawings.section_turn import things_in_turn
from eavewell.drawings.svg import svg_lines
from eavewell.hydraulics.first_flush_pipe import FlushPipe
from eavewell.hydraulics.levels import above_floor_m
from eavewell.site.site import Site
from eavewell.units import show
from eavewell.web.desk import OnDesk

SIZE = "page band"
PAD_MM, LEAST_MM, GRIP_MM, ASIDE_MM = 3.0, 7.0, 2.6, 4.0


@dataclass(frozen=True, slots=True)
class Area:
    """The part of the drawing that one thing takes, mm from the upper left corner."""

    of: str
    left: float
    top: float
    right: float
    low: float


@dataclass(frozen=True, slots=True)
class Grip:
    """A level that can be moved.

    address : of the field that states it. edge, name : which edge of which part it is.
    of      : that part as the drawing calls it.
    level_m : as it is, above the datum. from_m : what the field counts from.
    at_mm   : where its grip stands.
    """

    address: str
    edge: str
    name: str
    of: str
    level_m: float
    from_m: float
    at_mm: tuple[float, float]


def section_on_page(shown: OnDesk) -> Markup:
    """The drawing as SVG within the page; nothing where the site has none yet."""
    if shown.design is None:
        return Markup()
    drawn: Markup = shown.recall(_section, shown.design.site, shown.design.pipes.flushes)
    return drawn


def _section(site: Site, flushes: tuple[FlushPipe, ...]) -> Markup:
    drawn = section(site, flushes, size=SIZE, block={})
    view = drawn.views[0]
    paper = compose(replace(drawn, views=(view,), block=()))
    return Markup("\n".join(_svg(paper, site, view=view)))


def _svg(paper: Paper, site: Site, *, view: View) -> Iterator[str]:
    areas = {one.of: one for one in _areas(paper)}
    left, top = min(a.left for a in areas.values()), min(a.top for a in areas.values())
    wide = max(a.right for a in areas.values()) - left
    high = max(a.low for a in areas.values()) - top
    box = f"{left - PAD_MM:.1f} {top - PAD_MM:.1f} {wide + 2 * PAD_MM:.1f} {high + 2 * PAD_MM:.1f}"
    zero = paper.height_mm - view.at_mm[1]
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing" viewBox="{box}" role="group" '
        f'aria-label="{escape(paper.sheet.says)}" font-family="Fira Sans, sans-serif" '
        f'data-up="{view.up:.4f}" data-zero="{zero:.3f}">'
    )
    yield f'<g aria-hidden="true">{svg_lines(paper)}</g>'
    anchors = _anchors(site)
    known = {of: area for of, area in areas.items() if of in anchors}
    fingers = (_finger(known[of], anchors[of]) for of in sorted(known, key=_size_of(known)))
    yield f'<g aria-hidden="true">{"".join(fingers)}</g>'
    grips = {one.of: one for one in _grips(site, _outlines(paper), zero=zero, up=view.up)}
    for of in dict.fromkeys((*things_in_turn(site), *known)):
        if of in known:
            yield _link(known[of], anchors[of])
        if of in grips:
            yield _grip(grips[of], site)
    yield "</svg>"


def _size_of(areas: dict[str, Area]) -> Callable[[str], float]:
    """The larger first, so that the smaller lies upon it."""
    return lambda of: -(areas[of].right - areas[of].left) * (areas[of].low - areas[of].top)


def _areas(paper: Paper) -> Iterator[Area]:
    """What each thing takes of the sheet, its words included."""
    points: dict[str, list[tuple[float, float]]] = {}
    for line in (*paper.lines, *paper.leads):
        points.setdefault(line.of, []).extend(line.points)
    for words in paper.words:
        box = words.box
        points.setdefault(words.text.of, []).extend([(box.left, box.low), (box.right, box.high)])
    for of, found in points.items():
        xs, ys = [x for x, _ in found], [paper.height_mm - y for _, y in found]
        yield Area(of, min(xs), min(ys), max(xs), max(ys))


def _outlines(paper: Paper) -> dict[str, Area]:
    """The last gutter of each roof and the last of each row of tanks, without words."""
    found: dict[str, Area] = {}
    for line in paper.lines:
        if line.layer in ("gutter", "tank") and not (line.layer == "gutter" and line.of in found):
            xs, ys = [x for x, _ in line.points], [paper.height_mm - y for _, y in line.points]
            found[line.of] = Area(line.of, min(xs), min(ys), max(xs), max(ys))
    return found


def _anchors(site: Site) -> dict[str, str]:
    """Where on the page each thing is described."""
    kinds: tuple[tuple[str, str, Iterable[str]], ...] = (
        ("roof", "roof", (one.name for one in site.roofs)),
        ("tank", "tank", (one.name for one in site.tanks if not one.is_sump)),
        ("tank", "sump", (one.name for one in site.tanks if one.is_sump)),
        ("lift", "lift", (one.name for one in site.lifts)),
        ("pipe", "pipe", (one.name for one in site.runs)),
        ("line", "line", (one.name for one in site.lines)),
    )
    found = {
        f"{kind} {name}": f"p-{table}-{row}"
        for kind, table, names in kinds
        for row, name in enumerate(names)
    }
    screens = ((row, one.name) for row, roof in enumerate(site.roofs) for one in roof.screens)
    found |= {f"screen {name}": f"p-roof-{row}" for row, name in screens}
    return {**found, "ground": "ground"}


def _finger(area: Area, anchor: str) -> str:
    """A clear area over the thing that leads to its fields, for pointers alone."""
    return (
        f'<a href="#{anchor}" class="finger" tabindex="-1">{_rect(area)}'
        f"<title>{escape(area.of)}</title></a>"
    )


def _link(area: Area, anchor: str) -> str:
    """The same for the keyboard and for readers of the screen, in the turn of the water."""
    return (
        f'<a href="#{anchor}" class="thing" pointer-events="none" '
        f'aria-label="{escape(area.of)}">{_rect(area)}</a>'
    )


def _rect(area: Area) -> str:
    """Large enough for a finger."""
    wide, high = max(area.right - area.left, LEAST_MM), max(area.low - area.top, LEAST_MM)
    return (
        f'<rect x="{area.left:.1f}" y="{area.top:.1f}" width="{wide:.1f}" height="{high:.1f}" '
        f'fill="transparent"/>'
    )


def _grips(site: Site, areas: dict[str, Area], *, zero: float, up: float) -> Iterator[Grip]:
    for row, roof in enumerate(site.roofs):
        area = areas.get(f"roof {roof.name}")
        if area and roof.eave_m is not None:
            at = (area.left - ASIDE_MM, zero - up * roof.eave_m)
            yield Grip(f"roof/{row}/eave", "eave", roof.name, area.of, roof.eave_m, 0.0, at)
    tanks = [one for one in site.tanks if not one.is_sump]
    for row, tank in enumerate(tanks):
        area = areas.get(f"tank {tank.name}")
        rim_m = above_floor_m(tank, tank.shape.height_m if tank.shape else None)
        if area and rim_m is not None and tank.base_m is not None:
            at = (0.5 * (area.left + area.right), zero - up * rim_m)
            yield Grip(f"tank/{row}/height", "rim", tank.name, area.of, rim_m, tank.base_m, at)


def _grip(grip: Grip, site: Site) -> str:
    x, y = grip.at_mm
    level = show(grip.level_m, "level", system=site.place.show)
    return (
        f'<g class="grip" role="slider" tabindex="0" aria-orientation="vertical" '
        f'aria-label="{grip.edge} of {escape(grip.name)}" aria-valuemin="-10" aria-valuemax="30" '
        f'aria-valuenow="{grip.level_m:.3f}" aria-valuetext="{escape(level)}" '
        f'data-address="{grip.address}" data-of="{escape(grip.name)}" '
        f'data-level="{grip.level_m:.4f}" data-from="{grip.from_m:.4f}" data-x="{x:.2f}">'
        f'<rect x="{x - 6:.1f}" y="{y - 6:.1f}" width="12" height="12" fill="transparent"/>'
        f'<path d="M{x - GRIP_MM:.2f} {y:.2f}h{2 * GRIP_MM:.2f}M{x:.2f} {y - GRIP_MM:.2f}'
        f'l-1 1.2h2zM{x:.2f} {y + GRIP_MM:.2f}l-1 -1.2h2z"/></g>'
    )
