"""A sheet as an SVG in millimetres, its things grouped by name so that a page can link them."""

import re
from collections.abc import Iterable, Iterator
from functools import cache
from html import escape

from eavewell.drawings.boxes import weight_of
from eavewell.drawings.compose import Inked, Lettered, Paper
from eavewell.drawings.letters import capital_share, width_mm
from eavewell.tables import rows

FAMILY = "Fira Sans"
PAPER = "#fbf7ec"
# what fills an area, and the lines of its pattern with its side in mm: told apart in grey print
_GROUNDS = {"water": "#d6e5ee", "soil": "#ece3cf", "gravel": "#e6e0d4", "cut": "#e9e7e2"}
_HATCHES = {
    "water": ("#2a6a8f", 6.0, "M0 1.5H2.4M3 4.5H5.4"),
    "soil": ("#8a7b5c", 6.0, "M0.6 1.2L1.8 2.4M1.6 1.2L2.8 2.4M3.8 4.2L5 5.4M4.8 4.2L6 5.4"),
    "gravel": (
        "#5a6468",
        4.0,
        "M0.6 1.2a.5 .4 0 1 0 1 0a.5 .4 0 1 0 -1 0M2.4 3a.6 .5 0 1 0 1.2 0a.6 .5 0 1 0 -1.2 0",
    ),
    "cut": ("#4b5357", 2.0, "M0 2L2 0"),
}


def svg(paper: Paper) -> str:
    """The sheet as text; areas below, lines above them, words on top."""
    width, height = f"{paper.width_mm:g}", f"{paper.height_mm:g}"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img" font-family="{FAMILY}, sans-serif">',
        f"<title>{escape(paper.sheet.title)}</title>",
        f"<desc>{escape(paper.sheet.says)}</desc>" if paper.sheet.says else "",
        f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
        _defined(),
        svg_lines(paper),
        "</svg>",
    ]
    return "\n".join(part for part in parts if part) + "\n"


def svg_lines(paper: Paper) -> str:
    """What stands on the sheet, without the sheet itself."""
    height = paper.height_mm
    parts = (
        *_grouped([one for one in paper.lines if one.pattern], height),
        *_grouped([one for one in paper.lines if not one.pattern], height),
        *_grouped(paper.leads, height),
        *(_letters(one, height) for one in paper.words),
    )
    return "\n".join(parts)


def _grouped(lines: Iterable[Inked], height: float) -> Iterator[str]:
    """Neighbours of one thing in one group with its name as id."""
    last = None
    for one in lines:
        if one.of != last:
            if last is not None:
                yield "</g>"
            yield f'<g data-of="{escape(one.of)}">' if one.of else "<g>"
            last = one.of
        yield _line(one, height)
    if last is not None:
        yield "</g>"


def _line(one: Inked, height: float) -> str:
    path = "M" + "L".join(f"{x:.2f} {height - y:.2f}" for x, y in one.points)
    path += "Z" if one.closed else ""
    if one.pattern:
        return (
            f'<path d="{path}" fill="{_GROUNDS[one.pattern]}"/>'
            f'<path d="{path}" fill="url(#hatch-{one.pattern})"/>'
        )
    ink, width, dash = _layers()[one.layer]
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{path}" fill="none" stroke="{ink}" stroke-width="{width}"{dashes} '
        'stroke-linejoin="round" stroke-linecap="round"/>'
    )


@cache
def _defined() -> str:
    """The patterns by their names; the same on every sheet, so that several share a page."""
    return (
        "<defs>"
        + "".join(
            f'<pattern id="hatch-{name}" width="{side:g}" height="{side:g}" '
            f'patternUnits="userSpaceOnUse"><path d="{path}" fill="none" stroke="{ink}" '
            'stroke-width="0.13" opacity="0.55"/></pattern>'
            for name, (ink, side, path) in _HATCHES.items()
        )
        + "</defs>"
    )


def _letters(one: Lettered, height: float) -> str:
    text, weight = one.text, weight_of(one.text)
    x, y = text.at[0], height - text.at[1]
    anchor = {"left": "start", "middle": "middle", "right": "end"}[text.anchor]
    turned = f' transform="rotate({-text.turned_deg:g} {x:.2f} {y:.2f})"' if text.turned_deg else ""
    size = text.capital_mm / capital_share(weight)
    ink = _layers()[text.layer if text.layer == "unknown" else "text"][0]
    wide = width_mm(text.words, text.capital_mm, weight=weight)
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.3f}" text-anchor="{anchor}" '
        f'textLength="{wide:.2f}" lengthAdjust="spacingAndGlyphs" '
        f'font-weight="{700 if text.bold else 500}" fill="{ink}"{turned}>'
        f"{escape(text.words)}</text>"
    )


@cache
def _layers() -> dict[str, tuple[str, str, str]]:
    return {row["layer"]: (row["ink"], row["width_mm"], row["dash_mm"]) for row in rows("layers")}


def id_of(name: str) -> str:
    """A name as an id that a page can link to."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "thing"
