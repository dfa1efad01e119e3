"""The part of the report on the rain and the roofs."""

from typing import Any

from eavewell.answers.shown import Sizes, count, days_in_words, spell
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled

Plain = dict[str, Any]
WINDOWS = {30: "1 month", 91: "3 months", 182: "6 months", 365: "12 months", 730: "24 months"}
CARRIED = ("Rain as at", "Rain of")


def at_the_site(rain: Plain) -> list[str]:
    """The sentences on how the rain came from the gauge to the site."""
    return [note for note in rain["notes"] if note.startswith(CARRIED)]


def rain_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """The mean year, what was noticed, and the driest and wettest windows with dates."""
    rain = answer["rain"]
    wettest = {window["days"]: window for window in rain["wettest"]}
    rows = [
        (
            WINDOWS.get(one["days"], f"{one['days']} days"),
            sizes.depth(one["rain_mm"]),
            spell(one["from"], one["to"]),
            f"{one['filled_days']:,}" if one["filled_days"] else "-",
            sizes.depth(wettest[one["days"]]["rain_mm"]) if one["days"] in wettest else "-",
        )
        for one in rain["driest"]
    ]
    head = ("window", "driest", "from, to", "days filled", "wettest")
    return [
        heading("Rain"),
        paragraph(
            f"Mean year {sizes.depth(rain['mean_year_mm'])}; longest run without rain "
            f"{count(rain['longest_dry_days'], 'day')}.",
            *(days_in_words(note) for note in _noticed(rain)),
        ),
        GAP,
        ruled(head, rows, names=(0, 2)),
    ]


def _noticed(rain: Plain) -> list[str]:
    """What the title does not say already."""
    said = (*at_the_site(rain), f"{rain['name']}: ")
    return [note for note in rain["notes"] if not note.startswith(said)]


def roofs_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Each roof: area seen from above, its share, the net share that brings a mean year's water."""
    rows = [
        (
            roof["name"],
            roof["finish"],
            roof["drains_to"] or "not caught",
            sizes.area(roof["plan_area_m2"]),
            sizes.share(roof["runoff_coefficient"]),
            "-" if roof["net_share"] is None else sizes.share(roof["net_share"]),
            sizes.volume(roof["mean_year_l"]),
        )
        for roof in answer["roofs"]
    ]
    head = ("roof", "finish", "drains to", "seen from\nabove", "finish\nsheds", "net")
    return [heading("Roofs"), ruled((*head, "in a mean\nyear"), rows, names=(0, 1, 2))]
