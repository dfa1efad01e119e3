"""The part of the report on sizes: the curve, the smallest, and the cross-checks."""

from collections.abc import Sequence
from typing import Any

from rich.console import RenderableType

from eavewell.terminal.page import heading, paragraph, ruled
from eavewell.terminal.sizes import Sizes

Plain = dict[str, Any]
SHOWN_SIZES = 10
# Sizes are tried some 4 % apart.
STEADY_WITHIN = 1.1


def sizes_section(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    """The curve around the sizes that matter and what stands beside it."""
    sizing = answer["sizing"]
    rows = [
        (
            sizes.volume(one["capacity_l"]),
            sizes.share(one["supplied_share"]),
            sizes.share(one["days_met_share"]),
            f"{one['longest_short_days']:,}",
            sizes.share(one["spilled_share"]),
            "yes" if one["reaches_goal"] else "no",
        )
        for one in _shown(answer)
    ]
    head = ("usable", "supplied", "days met", "longest short run, days", "spilled", "goal")
    return [
        heading(f"Sizes of {sizing['store']!r}, everything else as drawn"),
        ruled(head, rows),
        paragraph(_gains(sizing, sizes), _less_rain(sizing, sizes), _steady(sizing, sizes)),
        paragraph(_cross_checks(sizing, sizes)),
    ]


def _shown(answer: Plain) -> Sequence[Plain]:
    """About ten sizes around the one drawn and the smallest that meets the goal."""
    sizing, curve = answer["sizing"], answer["sizing"]["curve"]
    drawn = {store["name"]: store["usable_l"] for store in answer["storage"]["stores"]}
    marks = [drawn[sizing["store"]], sizing["smallest_l"] or drawn[sizing["store"]]]
    near = [one for one in curve if min(marks) / 4 <= one["capacity_l"] <= 4 * max(marks)]
    step = max(1, len(near) // (SHOWN_SIZES - 1))
    kept = {id(one): one for one in near[::step]}
    kept |= {id(one): one for one in near if one["capacity_l"] == drawn[sizing["store"]]}
    return sorted(kept.values(), key=lambda one: float(one["capacity_l"]))


def _gains(sizing: Plain, sizes: Sizes) -> str:
    tank, roof = (sizing[key] for key in ("more_tank_l_per_year", "more_roof_l_per_year"))
    step, area = sizes.volume(3785.411784), sizes.area(9.290304)
    less = " (a larger tank rations earlier where stages are shares)" if tank < 0 else ""
    return (
        f"The next {step} of tank would supply {_signed(tank, sizes)} a year{less}, the next "
        f"{area} of roof {_signed(roof, sizes)}."
    )


def _signed(litres: float, sizes: Sizes) -> str:
    return f"{sizes.volume(abs(litres))} {'less' if litres < 0 else 'more'}"


def _less_rain(sizing: Plain, sizes: Sizes) -> str:
    if sizing["less_rain_factor"] is None:
        return ""
    share = sizes.share(sizing["less_rain_factor"])
    if sizing["smallest_at_less_rain_l"] is None:
        return f"With {share} of the station's rain no size meets the goal."
    size = sizes.volume(sizing["smallest_at_less_rain_l"])
    return f"With {share} of the station's rain the smallest would be {size}."


def _steady(sizing: Plain, sizes: Sizes) -> str:
    smallest, steady = sizing["smallest_l"], sizing["steady_l"]
    if smallest is None or (steady is not None and steady <= STEADY_WITHIN * smallest):
        return ""
    says = "Some larger sizes miss a goal that this one meets, by the timing of loads and rations"
    return f"{says}; from {sizes.volume(steady)} on all meet it." if steady else f"{says}."


def _cross_checks(sizing: Plain, sizes: Sizes) -> str:
    peak = "more is wanted than comes, so no volume carries over"
    if sizing["no_fail_l"] is not None:
        peak = f"{sizes.volume(sizing['no_fail_l'])} would never fail without losses and rations"
    rules = ", ".join(
        f"{rule['name']} {sizes.volume(rule['tank_l'])}" for rule in sizing["rules_of_thumb"]
    )
    return (
        f"Beside the balance: by the sequent peak method {peak}. Rules of thumb, which have seen "
        f"no drought: {rules}."
    )
