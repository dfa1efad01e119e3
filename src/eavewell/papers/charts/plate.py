"""The plate a chart is printed on: its size in mm, its letters and inks, the SVG it becomes."""

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from html import escape, unescape
from importlib.resources import files
from io import StringIO
from types import MappingProxyType
from typing import Any

from eavewell.drawings.letters import refuse_missing, tidy, width_mm
from eavewell.tables.texts import words

WORDS = words("charts")
INK, GREY, BLUE, PALE, RUST = "#1f2a30", "#5a6468", "#2a6a8f", "#c4d9e6", "#8f2f14"
# LEFT_MM : room for the numbers of an axis
FAMILY, WIDE_MM, LEFT_MM = "Fira Sans", 170.0, 17.0
# size of letters in points: of words, of small words, of the title
BODY, SMALL, TITLE = 8.0, 7.0, 10.0
_POINTS = 72.0 / 25.4
_LOOK: Mapping[str, Any] = MappingProxyType(
    {
        "font.family": [FAMILY],
        "font.weight": 500,
        "font.size": BODY,
        "svg.fonttype": "none",
        "svg.hashsalt": "eavewell",
        "text.parse_math": False,
        "axes.edgecolor": INK,
        "axes.labelcolor": INK,
        "axes.labelweight": 500,
        "axes.linewidth": 0.6,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.unicode_minus": False,
        "text.color": INK,
        "xtick.color": INK,
        "ytick.color": INK,
        "xtick.major.width": 0.6,
        "ytick.major.width": 0.6,
        "xtick.major.size": 2.5,
        "ytick.major.size": 2.5,
        "hatch.linewidth": 0.5,
        "lines.linewidth": 1.0,
    }
)


def plate(
    draw: Callable[[Any], None], *, title: str, says: str, high_mm: float, foot: str = ""
) -> str:
    """A chart as SVG text; two runs are equal to the byte.

    draw : puts everything but title and foot on a figure. says : the chart in words, for those who
    cannot see it. foot : what it rests on, below it. Raises EavewellFault for letters that the
    fonts lack.
    """
    with drawn(draw, title=title, high_mm=high_mm, foot=foot) as figure:
        page = StringIO()
        kept = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        figure.savefig(page, format="svg", transparent=True, metadata=kept)
    return _in_mm(page.getvalue(), high_mm=high_mm, title=title, says=says)


@contextmanager
def drawn(
    draw: Callable[[Any], None], *, title: str, high_mm: float, foot: str = ""
) -> Iterator[Any]:
    """The figure itself, as the context in which its letters can be measured."""
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure
    from matplotlib.text import Text

    _letters()
    look: Any = dict(_LOOK)
    with matplotlib.rc_context(look):
        figure = Figure(figsize=(WIDE_MM / 25.4, high_mm / 25.4))
        FigureCanvasSVG(figure)
        top, left = 1.0 - 4.5 / high_mm, 1.0 / WIDE_MM
        figure.text(left, top, title, fontsize=TITLE, fontweight=700, va="center")
        if foot:
            fitted = cut_to(foot, SMALL, most_mm=WIDE_MM - 2.0)
            figure.text(left, 2.0 / high_mm, fitted, fontsize=SMALL, color=GREY, va="center")
        draw(figure)
        refuse_missing(one.get_text() for one in figure.findobj(Text) if isinstance(one, Text))
        yield figure


def axes(figure: Any, *, left: float, low: float, right: float, high: float) -> Any:
    """Axes by their edges in mm from the lower left corner of the plate."""
    high_mm = figure.get_figheight() * 25.4
    return figure.add_axes(
        (left / WIDE_MM, low / high_mm, (right - left) / WIDE_MM, (high - low) / high_mm)
    )


def cut_to(text: str, points: float, *, most_mm: float) -> str:
    """One line no wider than most_mm, what does not fit left out behind three dots."""
    whole = tidy(text)
    if _wide_mm(whole, points) <= most_mm:
        return whole
    while whole and _wide_mm(f"{whole}...", points) > most_mm:
        whole = whole[:-1]
    return f"{whole.rstrip()}..."


def says_of(svg: str) -> str:
    """What a chart shows, in words, as its SVG carries it."""
    found = re.search(r"<desc>(.*?)</desc>", svg, flags=re.DOTALL)
    return unescape(found[1]) if found else ""


def rests_on(answer: Mapping[str, Any]) -> str:
    """The record that a chart rests on, and whether anybody measured it."""
    rain = answer["rain"]
    invented = (
        WORDS.say("plate.rests_on.invented_rain_measured_nowhere") if rain["invented"] else ""
    )
    return WORDS.say(
        "plate.rests_on.to",
        name=rain["name"],
        since=rain["from"][:4],
        to=rain["to"][:4],
        invented=invented,
    )


def _wide_mm(text: str, points: float) -> float:
    refuse_missing([text])
    return width_mm(text, points / _POINTS * 0.689, weight="Medium")


def _in_mm(svg: str, *, high_mm: float, title: str, says: str) -> str:
    """The size in mm in place of points, and the chart in words."""
    head = f'<svg role="img" width="{WIDE_MM:g}mm" height="{high_mm:g}mm"'
    sized = re.sub(r'<svg (.*?)width="[^"]*" height="[^"]*"', rf"{head} \1", svg, count=1)
    words = f"<title>{escape(title)}</title>\n <desc>{escape(says)}</desc>\n"
    opened = sized.index(">", sized.index("<svg ")) + 2
    return sized[:opened] + " " + words + sized[opened:]


@cache
def _letters() -> None:
    """Make the two weights known by one name, before any font is looked for."""
    from matplotlib.font_manager import FontEntry, fontManager

    folder = files("fontpkg_fira_sans").joinpath("files")
    for weight, name in ((500, "Medium"), (700, "Bold")):
        fontManager.ttflist.insert(
            0,
            FontEntry(
                fname=str(folder.joinpath(f"FiraSans-{name}.ttf")),
                name=FAMILY,
                style="normal",
                variant="normal",
                weight=weight,
                stretch="normal",
                size="scalable",
            ),
        )
