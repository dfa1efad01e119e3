"""The charts as pictures of the design report, by the part that each belongs to."""

from collections.abc import Mapping

from eavewell.papers.charts.plate import says_of
from eavewell.papers.paper import Picture

BELONGS: Mapping[str, tuple[str, ...]] = {
    "Who wants water": ("months",),
    "Stores and sizes": ("levels", "years", "storage"),
    "From the eaves to the tank": ("storms",),
    "Rules and money": ("cost-front",),
}


def chart_pictures(found: Mapping[str, str]) -> dict[str, tuple[Picture, ...]]:
    """Pictures by the words of the part of the report; a part without one is left out.

    found : every chart as SVG by its file name.
    """
    belongs = {
        part: tuple(
            Picture(svg, says_of(svg)) for name in names if (svg := found.get(f"charts/{name}.svg"))
        )
        for part, names in BELONGS.items()
    }
    return {part: pictures for part, pictures in belongs.items() if pictures}
