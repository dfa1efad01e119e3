"""Choices weighed, as a page: the present, the fronts, what does, the next purchase."""

from collections.abc import Iterator
from typing import Any

from eavewell.answers.shown import Sizes, count
from eavewell.report.blocks import GAP, INVENTED, Block, heading, one_line, paragraph, ruled
from eavewell.report.cost import money
from eavewell.site.place import Show

Plain = dict[str, Any]


def weigh_page(answer: Plain, *, system: Show) -> list[Block]:
    """The whole page; system is "us" or "metric"."""
    sizes = Sizes(system)
    return [*_title(answer), *_present(answer, sizes), *_fronts(answer, sizes), *_end(answer)]


def _title(answer: Plain) -> list[Block]:
    lines: list[Block] = [
        GAP,
        one_line(f"{answer['site']}: choices weighed", style="bold"),
        one_line(f"{answer['tried']:,} choices, each through the whole record: {answer['rain']}"),
    ]
    if answer["invented"]:
        lines.append(INVENTED)
    return lines


def _present(answer: Plain, sizes: Sizes) -> list[Block]:
    present, best = answer["present"], answer["cheapest"]
    meets = "meets every goal" if present["meets_goals"] else "does not meet every goal"
    if answer["some_meets_goals"]:
        does = f"The cheapest that meets every goal: {_in_words(best, answer, sizes=sizes)}."
    else:
        does = f"None meets every goal; the nearest: {_in_words(best, answer, sizes=sizes)}."
    return [
        heading("The answer"),
        paragraph(f"As it stands it {meets}: {_in_words(present, answer, sizes=sizes)}."),
        paragraph(does),
        paragraph(_step(answer, sizes)),
    ]


def _in_words(one: Plain, answer: Plain, *, sizes: Sizes) -> str:
    parts = [
        _tanks(one, sizes),
        f"{sizes.share(one['days_met_share'])} of the days met",
        f"longest short run {count(one['longest_short_days'], 'day')}",
    ]
    if _hauls(answer):
        parts.append(f"{count(one['loads_in_worst_year'], 'load')} in the worst year")
    years, currency = answer["years"], answer["currency"]
    cost = f"{money(one['life']['typical'])} {currency} over {years} years"
    return f"{', '.join(parts)}; {money(one['first']['typical'])} to have it, {cost}"


def choice_in_words(one: Plain, answer: Plain, *, sizes: Sizes) -> str:
    """What a choice is, what it gives and what it costs, as a sentence without its end."""
    more = "".join(f"{words}, " for words in _beside_tanks(one, answer, sizes=sizes))
    tanks = _tanks(one, sizes)
    return _in_words(one, answer, sizes=sizes).replace(f"{tanks}, ", f"{tanks}, {more}", 1)


def choice_named(one: Plain, answer: Plain, *, sizes: Sizes) -> str:
    """What a choice is, in a few words."""
    return ", ".join((_tanks(one, sizes), *_beside_tanks(one, answer, sizes=sizes)))


def _beside_tanks(one: Plain, answer: Plain, *, sizes: Sizes) -> Iterator[str]:
    """What of a choice differs from the present beside its tanks."""
    present = answer["present"]
    if one["roof_m2"] != present["roof_m2"]:
        yield f"{sizes.area(one['roof_m2'])} of roof"
    if one["fixtures"] != present["fixtures"]:
        yield f"fixtures at {sizes.share(one['fixtures'])}"
    if one["garden"] != present["garden"]:
        yield f"garden at {sizes.share(one['garden'])}"
    if one["rations"] != present["rations"]:
        yield "no rations"


def _step(answer: Plain, sizes: Sizes) -> str:
    step = answer["step"]
    if not step["what"]:
        return "No single purchase among these gains a day or saves a load."
    gains = []
    if step["days_per_year"] > 0.005:
        gains.append(f"{step['days_per_year']:.2g} short days a year fewer")
    if step["loads_per_year"] > 0.005:
        gains.append(f"{step['loads_per_year']:.2g} loads a year fewer")
    changed = {
        "tank": _tanks(step["to"], sizes),
        "roof": f"{sizes.area(step['to']['roof_m2'])} of roof",
        "fixtures": f"fixtures that leave {sizes.share(step['to']['fixtures'])} of the want",
    }.get(step["what"], step["what"])
    price = f"{money(step['price'])} {answer['currency']}"
    return (
        f"Best next purchase: {changed}, {price} more to have it: {' and '.join(gains)}; no other "
        "single change gains as much for its price."
    )


def _tanks(one: Plain, sizes: Sizes) -> str:
    each = sizes.volume(one["each_l"])
    return f"{one['count']} x {each}" if one["count"] > 1 else each


def _hauls(answer: Plain) -> bool:
    return bool(answer["by_loads"]) or answer["present"]["loads_per_year"] > 0.0


def _fronts(answer: Plain, sizes: Sizes) -> list[Block]:
    found: list[Block] = [
        heading("Cost against days met"),
        paragraph("Each is the cheapest way to meet that many days; the rest cost more for less."),
        GAP,
        ruled(_head(answer), [_row(one, answer, sizes=sizes) for one in answer["by_days"]]),
    ]
    if answer["by_loads"]:
        found += [
            heading("Cost against loads in the worst year"),
            paragraph("Of the choices that hold out through every dry spell as the goals ask."),
            GAP,
            ruled(_head(answer), [_row(one, answer, sizes=sizes) for one in answer["by_loads"]]),
        ]
    return found


def _varied(answer: Plain) -> list[str]:
    """What differs beside the tank, among all that is shown."""
    shown = [answer["present"], answer["cheapest"], *answer["by_days"], *answer["by_loads"]]
    names = ("roof_m2", "fixtures", "garden", "rations")
    return [name for name in names if len({one[name] for one in shown}) > 1]


def _head(answer: Plain) -> tuple[str, ...]:
    words = {"roof_m2": "roof", "fixtures": "fixtures", "garden": "garden", "rations": "rations"}
    loads = ("loads",) if _hauls(answer) else ()
    return (
        "tank",
        *(words[name] for name in _varied(answer)),
        "days\nmet",
        "short\nrun",
        *loads,
        "to\nhave it",
        f"{answer['years']}\nyears",
        "low to\nhigh",
        "goals",
    )


def _row(one: Plain, answer: Plain, *, sizes: Sizes) -> tuple[str, ...]:
    shown = {
        "roof_m2": sizes.area(one["roof_m2"]),
        "fixtures": sizes.share(one["fixtures"]),
        "garden": sizes.share(one["garden"]),
        "rations": "yes" if one["rations"] else "no",
    }
    loads = (str(one["loads_in_worst_year"]),) if _hauls(answer) else ()
    return (
        _tanks(one, sizes),
        *(shown[name] for name in _varied(answer)),
        sizes.share(one["days_met_share"]),
        str(one["longest_short_days"]),
        *loads,
        money(one["first"]["typical"]),
        money(one["life"]["typical"]),
        _span(one["life"]),
        "met" if one["meets_goals"] else "",
    )


def _span(life: Plain) -> str:
    """Low to high; in thousands where that says enough."""
    low, high = life["low"], life["high"]
    if low is None or high is None or low < 10_000.0:
        return f"{money(low)}-{money(high)}"
    return f"{low / 1000.0:,.0f}-{high / 1000.0:,.0f} k"


def _end(answer: Plain) -> list[Block]:
    limits = [f"{one[:1].upper()}{one[1:]}." for one in answer["limits"]]
    return [
        GAP,
        paragraph(
            f"Amounts in {answer['currency']}; short run: longest run of days on which a use got "
            "less than planned; k: thousands."
            + (" Loads: of the worst year." if _hauls(answer) else ""),
            *limits,
            style="italic",
        ),
    ]
