"""The part of the report on sumps and their lifts."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.report.cautions import cautioned
from eavewell.units import show

Plain = dict[str, Any]
GROUNDWATER = "Groundwater that seeps into a sump is not rain and is not counted."


def lift_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Each lift at its levels, what it captures by size of storm, and other sumps and pumps."""
    lifts = answer["hydraulics"]["lifts"]
    if not lifts:
        return []
    parts = [part for lift in lifts for part in _lift(lift, sizes)]
    return [
        heading("Sump and lift"),
        *parts,
        paragraph(GROUNDWATER, style="italic"),
        cautioned(answer, "lift"),
    ]


def _lift(lift: Plain, sizes: Sizes) -> list[Block]:
    head = (f"{lift['name']}: {lift['pump'] or 'no pump'}", "held", "lift", "flow", "then spills")
    rows = [_level(level, sizes) for level in lift["levels"]]
    parts: list[Block] = [
        ruled(head, rows),
        GAP,
        paragraph(_floats(lift, sizes), _storm(lift, sizes)),
    ]
    if lift["captured_share"] is None:
        return [*parts, GAP]
    return [
        *parts,
        GAP,
        _by_storm(lift, sizes),
        GAP,
        paragraph(_year(lift, sizes)),
        *_by_size(lift, sizes),
        GAP,
    ]


def _level(level: Plain, sizes: Sizes) -> tuple[str, ...]:
    minutes = level["overtop_min"]
    return (
        f"at the {level['at']}",
        sizes.volume(level["held_l"]),
        _shown(level["static_m"], "length", sizes=sizes),
        _shown(level["flow_l_s"], "flow", sizes=sizes),
        "-" if minutes is None or level["at"] == "spillway" else f"after {minutes:.1f} min",
    )


def _floats(lift: Plain, sizes: Sizes) -> str:
    if lift["between_floats_l"] is None:
        return ""
    return (
        f"{sizes.volume(lift['between_floats_l'])} between the floats: at most "
        f"{lift['most_starts_per_hour']:.1f} starts an hour, runs of "
        f"{lift['least_run_min']:.1f} minutes and longer."
    )


def _storm(lift: Plain, sizes: Sizes) -> str:
    if lift["inflow_l_s"] is None:
        return ""
    return (
        f"The {lift['storm_minutes']:g}-minute rain of {lift['storm_years']:g} years, "
        f"{_shown(lift['intensity_mm_h'], 'intensity', sizes=sizes)}, brings "
        f"{_shown(lift['inflow_l_s'], 'flow', sizes=sizes)}; with the power out then, the sump "
        "spills after the minutes in the last column."
    )


def _by_storm(lift: Plain, sizes: Sizes) -> Block:
    rows = [
        (
            f"{storm['name']}, to {sizes.depth(storm['to_mm'])}",
            f"{storm['days']:,}",
            sizes.share(storm["captured_share"]),
        )
        for storm in lift["storms"]
        if storm["captured_share"] is not None
    ]
    return ruled(("a day's rain", "days", "captured"), rows)


def _year(lift: Plain, sizes: Sizes) -> str:
    years = lift["years"]
    whole, one, three = (
        sum(year[key] for year in years) for key in ("captured_l", "without_1_l", "without_3_l")
    )
    words = (
        f"In a mean year the lift moves {sizes.volume(lift['captured_l_per_year'])}, "
        f"{sizes.share(lift['captured_share'])} of the sump's water"
    )
    if whole <= 0.0:
        return f"{words}."
    if (sharp := lift["sharper_captured_share"]) is not None:
        words += f" ({sizes.share(sharp)} in storms as sharp as the site's own)"
    if lift["refused_l_per_year"]:
        words += (
            f"; the full tank has no room for {sizes.volume(lift['refused_l_per_year'])} of it, "
            "which the sump spills"
        )
    return (
        f"{words}; with the power out in each year's largest storm "
        f"{sizes.share(one / whole)} of that, in the three largest {sizes.share(three / whole)}."
    )


def _by_size(lift: Plain, sizes: Sizes) -> list[Block]:
    if not lift["sizes"]:
        return []
    sumps = list(dict.fromkeys(size["sump_l"] for size in lift["sizes"]))
    by_pump: dict[str, list[str]] = {}
    for size in lift["sizes"]:
        by_pump.setdefault(size["pump"], []).append(sizes.volume(size["captured_l_per_year"]))
    head = ("a year, by pump and sump of", *(sizes.volume(sump) for sump in sumps))
    return [GAP, ruled(head, [(pump, *cells) for pump, cells in by_pump.items()])]


def _shown(value: float | None, quantity: str, *, sizes: Sizes) -> str:
    return "-" if value is None else show(value, quantity, system=sizes.system)
