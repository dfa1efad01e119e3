"""Today as a page: what stands in the tanks, what was used, what was caught."""

from collections.abc import Iterator
from typing import Any

from eavewell.answers.shown import Sizes, count, day, listed
from eavewell.report.at_once import at_once, next_of, reach_of, to_do
from eavewell.report.blocks import GAP, INVENTED, Block, heading, one_line, paragraph
from eavewell.report.stick import on_stick
from eavewell.site.place import Show

Plain = dict[str, Any]


def today_page(answer: Plain, *, system: Show, ahead: Plain) -> list[Block]:
    """The whole page; system is "us" or "metric". ahead : the look ahead of the same log."""
    title = one_line(f"{answer['site']} on {day(answer['day'])}", style="bold")
    invented = [INVENTED] if ahead["invented"] else []
    first = today_first(ahead, system=system)
    return [GAP, title, *invented, *first, *today_sections(answer, system=system)]


def today_first(ahead: Plain, *, system: Show) -> Iterator[Block]:
    """What is asked first: what is to be done today, until when the water lasts, what may be used.

    ahead : the look ahead of the same log.
    """
    yield from (paragraph(words, style="bold") for words in to_do(ahead, system=system))
    for one in at_once(ahead, system=system):
        yield paragraph(f"{one.of}: {one.until[:1].lower()}{one.until[1:]} {one.how}", style="bold")
        yield paragraph(one.rain, *one.more)
    yield from (paragraph(says) for says in reach_of(ahead, system=system))
    yield paragraph(*next_of(ahead, system=system))


def today_sections(answer: Plain, *, system: Show) -> list[Block]:
    """The same without its title."""
    sizes = Sizes(system)
    return [
        heading("In the tanks"),
        *_held(answer, sizes),
        heading("Used in the last week"),
        paragraph(*_used(answer, sizes)),
        heading("Caught in the last week"),
        paragraph(*_caught(answer, sizes)),
    ]


def _held(answer: Plain, sizes: Sizes) -> Iterator[Block]:
    for tank in answer["tanks"]:
        at = "" if tank["level_m"] is None else f", {on_stick(tank['level_m'], sizes)} on the stick"
        says = f"{tank['name']} holds {sizes.volume(tank['total_l'])}{at}"
        yield paragraph(f"{says}{_since(tank, sizes)}.", style="bold")
    usual = answer["usual_held"]
    low, high = sizes.volume(usual["low_l"]), sizes.volume(usual["high_l"])
    yield paragraph(
        _read(answer),
        f"Above the dead storage that is {sizes.volume(answer['held_l'])}, "
        f"{_against(answer['held_l'], usual['low_l'], high=usual['high_l'])}: by the design "
        f"{sizes.volume(usual['mean_l'])} in the mean of years at this time, {low} to {high} in "
        "eight of ten.",
    )


def _read(answer: Plain) -> str:
    """When; of several tanks the one that was read longest ago. "" for today."""
    old = answer["days_since_reading"]
    if not old:
        return ""
    which = "The tank read longest ago was read" if len(answer["tanks"]) > 1 else "Read"
    return f"{which} {count(old, 'day')} ago, on {day(answer['read_on'])}."


def _since(tank: Plain, sizes: Sizes) -> str:
    found = [
        _change(change, sizes, since=since)
        for change, since in (
            (tank["since_yesterday_l"], "day"),
            (tank["since_week_l"], "week"),
        )
        if change is not None
    ]
    return f": {listed(found)}" if found else ""


def _change(change: float, sizes: Sizes, *, since: str) -> str:
    amount = sizes.volume(abs(change))
    if amount == sizes.volume(0.0):
        return f"as much as a {since} before"
    return f"{amount} {'more' if change > 0.0 else 'less'} than a {since} before"


def _against(value: float, low: float, *, high: float) -> str:
    if value < low:
        return "little for the season"
    return "much for the season" if value > high else "as usual for the season"


def _used(answer: Plain, sizes: Sizes) -> Iterator[str]:
    metered, fell = answer["metered_l_per_day"], answer["by_level_l_per_day"]
    if metered is None and fell is None:
        yield "Nobody knows: no meter told, and the level was not read day after day."
    if metered is not None:
        each = [f"{one['name']} {sizes.daily(one['l_per_day'])}" for one in answer["meters"]]
        parts = f": {listed(each)}" if len(each) > 1 else ""
        yield f"By meter {sizes.daily(metered)}{parts}."
    if fell is not None:
        dry = "without rain" if answer["rain_is_gauged"] else "on which no level rose"
        yield f"By the level {sizes.daily(fell)} on {count(answer['dry_days'], 'day')} {dry}."
    usual = answer["usual_use"]
    low, high = (sizes.daily(usual[f"{end}_l_per_day"]) for end in ("low", "high"))
    spread = f"{low} in nearly every year" if low == high else f"{low} to {high} in eight of ten"
    yield (
        f"By the plan a week at this time of year takes {sizes.daily(usual['mean_l_per_day'])} in "
        f"the mean of years, {spread}."
    )


def _caught(answer: Plain, sizes: Sizes) -> Iterator[str]:
    rain, caught, usual = answer["rain_mm"], answer["caught_l"], answer["usual_caught"]
    if rain is not None:
        known, week = answer["rain_days"], answer["week_days"]
        of = f" on the {known} of {week} days that are known" if known < week else ""
        yield f"The gauge had {sizes.depth(rain)}{of}."
    if caught is not None:
        yield f"{sizes.volume(caught)} came, by the level and the meters."
    yield (
        f"A week at this time of year brings {sizes.volume(usual['mean_l'])} in the mean, "
        f"{sizes.volume(usual['low_l'])} to {sizes.volume(usual['high_l'])} in eight years of ten."
    )
    if answer["hauled_l"]:
        yield f"Loads brought {sizes.volume(answer['hauled_l'])}."
    if answer["make_up_l"]:
        yield f"Make-up brought {sizes.volume(answer['make_up_l'])}."
