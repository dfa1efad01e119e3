"""The design report, from sky to tap, with the answer first."""

from typing import Any

from rich.console import Group, RenderableType
from rich.text import Text

from eavewell.site.place import Show
from eavewell.terminal.page import heading, marked, paragraph, ruled
from eavewell.terminal.report_doubts import doubts_section
from eavewell.terminal.report_sizes import sizes_section
from eavewell.terminal.sizes import Sizes, count, day
from eavewell.terminal.strip import level_strip

SELDOM = 0.1
WINDOWS = {30: "1 month", 91: "3 months", 182: "6 months", 365: "12 months", 730: "24 months"}
CAUTIONS = {
    "drinking": "Not drinking water unless designed, treated, tested, labelled and permitted; the "
    "health department decides.",
    "indoor": "Not for drinking: label every tap and pipe. Licensed plumbers connect it.",
    "animals": "Animals must not run short in heat. Watch for scum and dead animals in open water.",
    "outdoor": "Not for drinking. Warm stored water and spray: Legionella.",
}
RULES = {
    "yas": "Yield after spillage: each day is filled and spilled before it is drawn from",
    "ybs": "Yield before spillage: each day is drawn from before it spills",
}
TANKS = (
    "Never enter a tank or sump: rescuers die too. Lockable, child-proof lids; every opening "
    "meshed against mosquitoes. Full tanks are heavy (1,000 L weigh a tonne): stands, slopes and "
    "burial need an engineer."
)

Plain = dict[str, Any]


def report(answer: Plain, *, system: Show, width: int, plain: bool) -> RenderableType:
    """The whole report.

    system : "us" or "metric". width : columns. plain : ASCII strip for the level.
    """
    sizes = Sizes(system)
    strip = level_strip(answer, width=width - 6, plain=plain)
    return Group(
        _title(answer),
        *_summary(answer, sizes),
        *_level(strip),
        *_rain(answer, sizes),
        *_roofs(answer, sizes),
        *_uses(answer, sizes),
        *_stores(answer, sizes),
        *sizes_section(answer, sizes),
        *doubts_section(answer, sizes),
        *_findings(answer),
        *_end(answer),
    )


def _title(answer: Plain) -> RenderableType:
    rain = answer["rain"]
    on = f"on {rain['name']}, {day(rain['from'])} to {day(rain['to'])}"
    return Group(Text(""), Text(answer["site"], style="bold"), Text(on, style="italic"))


def _summary(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    storage, sizing = answer["storage"], answer["sizing"]
    loud = (
        "INVENTED CLIMATE: for trying things out, never for building."
        if answer["rain"]["invented"]
        else ""
    )
    share = sizes.share(storage["supplied_share"])
    first = f"Over this record the system would have supplied {share} of the water wanted."
    return [
        heading("The answer"),
        *([paragraph(loud, style="bold")] if loud else []),
        paragraph(first, _worst(storage, sizes), _hauled(storage)),
        paragraph(_goal(answer), _limiting(sizing), _smallest(sizing, sizes)),
    ]


def _worst(storage: Plain, sizes: Sizes) -> str:
    worst, longest = storage["worst_short"], storage["longest_short_days"]
    if worst["from"] is None:
        return "No use fell short of its planned ration on any day; a worse drought may come."
    return (
        f"In the worst spell, {day(worst['from'])} to {day(worst['to'])}, "
        f"{sizes.volume(worst['missing_l'])} were missing; the longest run of short days "
        f"of any one use was {count(longest, 'day')}."
    )


def _hauled(storage: Plain) -> str:
    if storage["loads_per_year"] == 0:
        return ""
    worst = count(storage["loads_in_worst_year"], "load")
    if storage["loads_per_year"] < SELDOM:
        return f"That took fewer than one hauled load in ten years, {worst} in the worst year."
    return f"That took {storage['loads_per_year']:.1f} hauled loads a year, {worst} in the worst."


def _goal(answer: Plain) -> str:
    sizing = answer["sizing"]
    verdict = "reaches" if sizing["meets_goal"] else "does not reach"
    usual = "" if all(g["stated"] for g in sizing["goals"]) else " (starting values in part)"
    return f"The system as drawn {verdict} its goal{usual}: {sizing['goal']}."


def _limiting(sizing: Plain) -> str:
    return {
        "roof": "The roof limits it: more roof would help more than more tank.",
        "tank": "The tank limits it: more tank would help more than more roof.",
        "use": "Neither twice the tank nor twice the roof would help much: the use itself limits.",
    }[sizing["limiting"]]


def _smallest(sizing: Plain, sizes: Sizes) -> str:
    if sizing["smallest_l"] is not None:
        return (
            f"The smallest {sizing['store']!r} that meets the goal holds "
            f"{sizes.volume(sizing['smallest_l'])} usable."
        )
    ways = []
    if sizing["smallest_roof_m2"] is not None:
        ways.append(f"{sizes.area(sizing['smallest_roof_m2'])} of roof in all")
    if sizing["most_use_l_per_day"] is not None:
        ways.append(f"no more than {sizes.daily(sizing['most_use_l_per_day'])} of use in all")
    way = " or ".join(ways) or "a change of two of roof, tank and use"
    return f"No size of {sizing['store']!r} meets the goal with this roof; {way} would."


def _level(strip: list[str]) -> list[RenderableType]:
    marks = "lowest level of all stores through the record, empty to full"
    mark = "  ^ the worst spell" if strip[1] else ""
    lines = "\n".join(
        f"  |{line.ljust(len(strip[0]))}{'|' if at == 0 else ''}" if at == 0 else f"   {line}"
        for at, line in enumerate(strip)
        if line
    )
    return [Text(""), Text(f"  {marks}{mark}", style="italic"), Text(lines, no_wrap=True)]


def _rain(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    rain = answer["rain"]
    wettest = {window["days"]: window for window in rain["wettest"]}
    rows = [
        (
            WINDOWS.get(one["days"], f"{one['days']} days"),
            sizes.depth(one["rain_mm"]),
            f"{day(one['from'])} to {day(one['to'])}",
            sizes.depth(wettest[one["days"]]["rain_mm"]) if one["days"] in wettest else "-",
        )
        for one in rain["driest"]
    ]
    return [
        heading("Rain"),
        paragraph(
            f"Mean year {sizes.depth(rain['mean_year_mm'])}; longest run without rain "
            f"{count(rain['longest_dry_days'], 'day')}; "
            f"{sizes.share(rain['missing_share'])} of the days had no reading.",
            *rain["notes"],
        ),
        ruled(("window", "driest", "when", "wettest"), rows),
    ]


def _roofs(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    rows = [
        (
            roof["name"],
            roof["finish"],
            roof["drains_to"] or "not caught",
            sizes.area(roof["plan_area_m2"]),
            sizes.share(roof["runoff_coefficient"]),
            sizes.volume(roof["mean_year_l"]),
        )
        for roof in answer["roofs"]
    ]
    head = ("roof", "finish", "drains to", "plan area", "kept", "mean year")
    return [heading("Roofs, seen from above"), ruled(head, rows, left=3)]


def _uses(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    served = {use["name"]: use for use in answer["storage"]["uses"]}
    wants = [
        (
            use["name"],
            use["class"],
            sizes.daily(use["mean_l_per_day"]),
            sizes.daily(use["peak_month_l_per_day"]),
            sizes.daily(use["peak_week_l_per_day"]),
        )
        for use in answer["demand"]
    ]
    classes = dict.fromkeys(use["class"] for use in answer["demand"])
    return [
        heading("Uses, in the order they are served"),
        ruled(("use", "class", "mean", "peak month", "peak week"), wants, left=2),
        Text(""),
        ruled(
            ("use", "supplied", "full", "rationed", "short", "longest run of short days"),
            [_served(served[use["name"]], sizes) for use in answer["demand"]],
            gap=1,
        ),
        *(paragraph(CAUTIONS[name], style="italic") for name in classes),
    ]


def _served(use: Plain, sizes: Sizes) -> tuple[str, ...]:
    run = "none on this record"
    if use["longest_short_from"] is not None:
        run = (
            f"{use['longest_short_days']:,}: {day(use['longest_short_from'])} to "
            f"{day(use['longest_short_to'])}"
        )
    full, rationed, short = (
        f"{use[key]:,}" for key in ("full_days", "rationed_days", "short_days")
    )
    return use["name"], sizes.share(use["supplied_share"]), full, rationed, short, run


def _stores(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    storage = answer["storage"]
    rows = [
        (
            f"{store['count']} x {store['name']}" if store["count"] > 1 else store["name"],
            sizes.volume(store["capacity_l"]),
            sizes.volume(store["usable_l"]),
            sizes.volume(store["dead_l"]),
            sizes.volume(store["lowest_l"]),
        )
        for store in storage["stores"]
    ]
    return [
        heading("Stores"),
        ruled(("store", "to the rim", "usable", "dead", "lowest on record"), rows),
        paragraph(_account(storage, sizes)),
        paragraph(f"{RULES[storage['rule']]}; {storage['start']}."),
        paragraph(TANKS, style="italic"),
    ]


def _account(storage: Plain, sizes: Sizes) -> str:
    parts = [
        f"In a mean year {sizes.volume(storage['inflow_l_per_year'])} come in",
        f"{sizes.volume(storage['supplied_l_per_year'])} are drawn",
        f"{sizes.volume(storage['spilled_l_per_year'])} spill "
        f"({sizes.share(storage['spilled_share'])})",
    ]
    for key, words in (
        ("lost_l_per_year", "evaporate"),
        ("hauled_l_per_year", "are hauled in"),
        ("make_up_l_per_year", "come from the mains"),
    ):
        if storage[key] > 0:
            parts.append(f"{sizes.volume(storage[key])} {words}")
    return ", ".join(parts) + f". The account closes to {abs(storage['balance_error_l']):.1g} L."


def _findings(answer: Plain) -> list[RenderableType]:
    if not answer["findings"]:
        return [heading("Findings"), paragraph("None among the checks made.")]
    return [heading("Findings"), *(_finding(one) for one in answer["findings"])]


def _finding(one: Plain) -> RenderableType:
    fix = f" Way out: {one['fix']}." if one["fix"] else ""
    source = f" [{one['source']}]" if one["source"] else ""
    style = "bold" if one["level"] in ("stop", "fix") else ""
    return marked(one["level"], f"{one['where']}: {one['says']}{fix}{source}", style=style)


def _end(answer: Plain) -> list[RenderableType]:
    rain = answer["rain"]
    return [
        heading("What this rests on"),
        *(marked("-", sentence) for sentence in answer["assumed"]),
        paragraph(f"Not part of this report: {'; '.join(answer['not_checked'])}."),
        paragraph(
            f"Record: {rain['name']}, {day(rain['from'])} to {day(rain['to'])}. What held on this "
            "record may not hold in a worse drought. Screening, not design approval; the authority "
            "having jurisdiction and licensed trades decide.",
        ),
    ]
