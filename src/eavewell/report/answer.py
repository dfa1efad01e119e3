"""The first part of the report: the answer, in sentences, and the level through the record."""

from typing import Any

from eavewell.answers.shown import Sizes, count, listed, short_run, spell
from eavewell.findings.rounding import no_less, no_more
from eavewell.report.blocks import GAP, Block, heading, marked, paragraph
from eavewell.report.strip import Strip, level_strip

Plain = dict[str, Any]
SELDOM = 0.1
# Up to this much usable water a store is a barrel or two: fills say more than a share.
BARRELS_L = 1500.0
# Sizes are tried some 4 % apart.
STEADY_WITHIN = 1.1
LIMITS = {
    "roof": "The roof limits: twice the roof would make good more of what is missing than twice "
    "the tank.",
    "tank": "The tank limits: twice the tank would make good more of what is missing than twice "
    "the roof.",
    "use": "The use itself limits: neither twice the tank nor twice the roof would help much.",
}


def answer_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """How well it lives, whether that is enough, and what would be."""
    storage, sizing = answer["storage"], answer["sizing"]
    strip = level_strip(answer)
    return [
        heading("The answer"),
        paragraph(*_barrels(storage, sizes)),
        paragraph(_supplied(answer, sizes), _hauled(storage, sizes)),
        paragraph(_worst(storage, sizes)),
        GAP,
        *_goals(sizing, sizes),
        paragraph(_sizes_that_do(sizing, sizes), LIMITS[sizing["limiting"]]),
        GAP,
        paragraph(_caption(strip), style="italic"),
        strip,
    ]


def _barrels(storage: Plain, sizes: Sizes) -> list[str]:
    """Of a site of barrels: what fills them and how often, before any share."""
    stores = [store for store in storage["stores"] if store["fills_with_mm"] is not None]
    if not stores or max(store["usable_l"] for store in storage["stores"]) > BARRELS_L:
        return []
    return [_barrel(store, sizes) for store in stores]


def _barrel(store: Plain, sizes: Sizes) -> str:
    fills = store["roof_l_per_year"] / store["usable_l"] if store["usable_l"] else 0.0
    return (
        f"{store['name'].capitalize()}: {sizes.volume(store['usable_l'])} usable, filled by "
        f"{sizes.depth(store['fills_with_mm'])} of rain on {sizes.area(store['roof_m2'])}; the "
        f"roof brings {sizes.volume(store['roof_l_per_year'])} in a mean year, "
        f"{count(fills, 'time')} as much as they hold."
    )


def _caption(strip: Strip) -> str:
    dry = "; . a month in which they ran empty" if min(strip.values) <= strip.empty else ""
    worst = "; ^ the worst spell" if strip.worst else ""
    return f"Water in all stores, the middle of the months' lowest{dry}{worst}"


def _supplied(answer: Plain, sizes: Sizes) -> str:
    storage = answer["storage"]
    share, days = sizes.share(storage["supplied_share"]), sizes.share(storage["days_met_share"])
    return (
        f"Through every dry spell of this record the system would have supplied {share} of the "
        f"water wanted, and every use in full on {days} of the days."
    )


def _worst(storage: Plain, sizes: Sizes) -> str:
    worst, longest = storage["worst_short"], storage["longest_short"]
    if worst["from"] is None:
        return (
            "No use fell short of its planned ration on any day of the record; a worse drought "
            "may come."
        )
    names = [
        use["name"]
        for use in storage["uses"]
        if (use["worst_short_from"], use["worst_short_to"]) == (worst["from"], worst["to"])
    ]
    first = (
        f"The worst spell was {spell(worst['from'], worst['to'])}: "
        f"{sizes.volume(worst['missing_l'])} missing for {listed(names)}."
    )
    days = short_run(storage["longest_short_days"], longest["from"], last=longest["to"])
    if longest == worst:
        return f"{first} That was also the longest run: {days}."
    return f"{first} The longest run was {days}, {spell(longest['from'], longest['to'])}."


def _hauled(storage: Plain, sizes: Sizes) -> str:
    mains = storage["make_up_l_per_year"]
    said = f"The mains made up {sizes.volume(mains)} a year." if mains else ""
    if storage["loads_per_year"] == 0:
        return said
    worst = count(storage["loads_in_worst_year"], "load")
    often = f"{storage['loads_per_year']:.1f} hauled loads a year"
    if storage["loads_per_year"] < SELDOM:
        often = "fewer than one hauled load in ten years"
    return f"That took {often}, {worst} in the worst. {said}".rstrip()


def _goals(sizing: Plain, sizes: Sizes) -> list[Block]:
    verdict = "reaches its goals" if sizing["meets_goal"] else "does not reach its goals"
    return [
        paragraph(f"The system as drawn {verdict}:"),
        *(
            marked("reached" if goal["reached"] else "missed", _goal(goal, sizes), margin=7)
            for goal in sizing["goals"]
        ),
    ]


def _goal(goal: Plain, sizes: Sizes) -> str:
    measured = {
        "dry_days_in_worst_spell": count(goal["measured"], "day"),
        "loads_in_worst_year": count(goal["measured"], "load"),
    }.get(goal["measure"]) or sizes.share(goal["measured"])
    usual = "" if goal["stated"] else " (starting value)"
    return f"{goal['says']}{usual}: {measured} on this record"


def _sizes_that_do(sizing: Plain, sizes: Sizes) -> str:
    roof, use, system = sizing["smallest_roof_m2"], sizing["most_use_l_per_day"], sizes.system
    ways = [] if roof is None else [f"{no_less(roof, 'area', system=system)} of roof"]
    ways += [] if use is None else [f"{no_more(use, 'daily', system=system)} of use in all"]
    with_tank = " or ".join(ways)
    if sizing["smallest_l"] is None:
        way = (
            f"with the tank as drawn it takes {with_tank}"
            if ways
            else "change more than one of tank, roof and use"
        )
        return f"No size of {sizing['store']!r} alone reaches them: {way}."
    least = no_less(sizing["smallest_l"], "volume", system=system)
    size = f"The smallest {sizing['store']!r} that does holds {least} usable"
    also = f" The tank as drawn does with {with_tank}." if ways else ""
    return f"{size}{_steady(sizing, sizes)}.{also}"


def _steady(sizing: Plain, sizes: Sizes) -> str:
    """What keeps the smallest size from being enough by itself."""
    smallest, steady = sizing["smallest_l"], sizing["steady_l"]
    if steady is not None and steady <= STEADY_WITHIN * smallest:
        return ""
    says = ", but some larger ones miss a goal by the timing of loads and rations"
    if steady is None:
        return f"{says}, the largest tried among them"
    return f"{says}; from {no_less(steady, 'volume', system=sizes.system)} on all meet it"
