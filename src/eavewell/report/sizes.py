"""The part of the report on sizes: the curve, the smallest, and the cross-checks."""

from collections.abc import Sequence
from operator import itemgetter
from typing import Any

from eavewell.answers.shown import Sizes, count
from eavewell.findings.rounding import no_less
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled

Plain = dict[str, Any]
SHOWN_SIZES = 10
SPREAD = 3.0
APART = 1.08
_STEP_L = 3785.411784
HEAD = ("usable", "supplied", "days met", "longest\nshort run", "spilled", "goals", "")
RULES = {
    "five percent, bs 8515": "5 % of the lesser of a year's yield and use (BS 8515)",
    "six percent, din 1989": "6 % of the same (DIN 1989)",
    "one third": "a third of a year's harvest (New Mexico)",
}


def sizes_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """The curve around the sizes that matter and what stands beside it."""
    sizing, shown = answer["sizing"], _shown(answer)
    names = _named(answer, [one["capacity_l"] for one in shown])
    rows = [
        (
            sizes.volume(one["capacity_l"]),
            sizes.share(one["supplied_share"]),
            sizes.share(one["days_met_share"]),
            count(one["longest_short_days"], "day"),
            sizes.share(one["spilled_share"]),
            "reached" if one["reaches_goal"] else "missed",
            names.get(one["capacity_l"], ""),
        )
        for one in shown
    ]
    return [
        heading(f"Sizes of {sizing['store']!r}, everything else as drawn"),
        ruled(HEAD, rows, names=(5, 6)),
        GAP,
        paragraph(_gains(answer, sizes), _less_rain(sizing, sizes)),
        paragraph(_peak(sizing, sizes), _rules(sizing, sizes)),
    ]


def _named(answer: Plain, shown: list[float]) -> dict[float, str]:
    """The sizes that a reader looks for: the drawn one and the least that meets the goals."""
    smallest = answer["sizing"]["smallest_l"]
    enough = [] if smallest is None else [size for size in shown if size >= smallest]
    return dict.fromkeys(enough[:1], "enough") | {_drawn_l(answer): "as drawn"}


def _drawn_l(answer: Plain) -> float:
    stores = answer["storage"]["stores"]
    named = next(store for store in stores if store["name"] == answer["sizing"]["store"])
    return float(named["usable_l"])


def _shown(answer: Plain) -> Sequence[Plain]:
    """About ten sizes around the one drawn and the smallest that meets the goals."""
    curve, drawn = answer["sizing"]["curve"], _drawn_l(answer)
    smallest = answer["sizing"]["smallest_l"] or drawn
    low, high = min(drawn, smallest) / SPREAD, max(drawn, smallest) * SPREAD
    near = [one for one in curve if low <= one["capacity_l"] <= high]
    first_met = next((one for one in near if one["capacity_l"] >= smallest), near[-1])
    marks = [one for one in near if one["capacity_l"] in (drawn, first_met["capacity_l"])]
    apart = [
        one
        for one in near[:: max(1, len(near) // (SHOWN_SIZES - 1))]
        if all(not 1 / APART < one["capacity_l"] / mark["capacity_l"] < APART for mark in marks)
    ]
    return sorted([*marks, *apart], key=itemgetter("capacity_l"))


def _gains(answer: Plain, sizes: Sizes) -> str:
    """Of a step of tank only where it is no more than the tank itself."""
    sizing = answer["sizing"]
    tank, roof = (sizing[key] for key in ("more_tank_l_per_year", "more_roof_l_per_year"))
    step, area = sizes.volume(_STEP_L), sizes.area(9.290304)
    if _drawn_l(answer) < _STEP_L:
        return f"The next {area} of roof would supply {_signed(roof, sizes)} rain a year."
    less = " (a larger tank rations earlier where stages are shares)" if tank < 0 else ""
    return (
        f"The next {step} of tank would supply {_signed(tank, sizes)} rain a year{less}, the "
        f"next {area} of roof {_signed(roof, sizes)}."
    )


def _signed(litres: float, sizes: Sizes) -> str:
    return f"{sizes.volume(abs(litres))} {'less' if litres < 0 else 'more'}"


def _less_rain(sizing: Plain, sizes: Sizes) -> str:
    if sizing["less_rain_factor"] is None:
        return ""
    share = sizes.share(sizing["less_rain_factor"])
    longest = sizing["less_rain_longest_short_days"]
    run = f"longest run {count(longest, 'short day')}" if longest else "no short day"
    drawn = (
        f"With {share} of the station's rain, since the site factor is unknown, the system as "
        f"drawn would supply {sizes.share(sizing['less_rain_supplied_share'])}, {run}"
    )
    if sizing["smallest_at_less_rain_l"] is None:
        return f"{drawn}, and no size would meet the goals."
    size = no_less(sizing["smallest_at_less_rain_l"], "volume", system=sizes.system)
    return f"{drawn}; the smallest size would be {size}."


def _peak(sizing: Plain, sizes: Sizes) -> str:
    if sizing["no_fail_l"] is None:
        return (
            "By the sequent peak method no volume would do: more is wanted than comes in all years."
        )
    volume = sizes.volume(sizing["no_fail_l"])
    return (
        f"As a cross-check, the sequent peak method wants {volume} so as never to fail on this "
        "record, with no losses, no rations and nothing hauled."
    )


def _rules(sizing: Plain, sizes: Sizes) -> str:
    rules = [
        f"{RULES.get(rule['name'], rule['name'])}: {sizes.volume(rule['tank_l'])}"
        f"{' (from memory)' if rule['mark'] == 'memory' else ''}"
        for rule in sizing["rules_of_thumb"]
    ]
    return f"Rules of thumb, which have seen no drought - {'; '.join(rules)}."
