"""The log against the site file as a page: what is found, what is offered, what is not known."""

from collections.abc import Iterator
from typing import Any

from eavewell.answers.shown import Sizes, count, day, listed
from eavewell.report.blocks import GAP, Block, heading, one_line, paragraph, ruled
from eavewell.report.leaks import findings_of
from eavewell.site.place import Show

Plain = dict[str, Any]
NOTHING = "Nothing to change: the log does not speak against the site file."
BY_YOU = "Nothing is changed by itself: it is you who takes a figure over."


def reconciled_page(answer: Plain, *, system: Show) -> list[Block]:
    """The whole page; system is "us" or "metric"."""
    head = one_line(f"{answer['site']}: the log and the site file", style="bold")
    page: list[Block] = [GAP, head]
    for group in answer["groups"]:
        page += _group(answer, group, sizes=Sizes(system))
    return page


def _group(answer: Plain, group: Plain, *, sizes: Sizes) -> list[Block]:
    return [
        *group_blocks(answer, group, sizes=sizes),
        heading("For the site file"),
        *_offers(group["offers"]),
    ]


def group_blocks(answer: Plain, group: Plain, *, sizes: Sizes) -> list[Block]:
    """What the log says of tanks between which water moves; its offers are left out."""
    names = listed(f"'{name}'" for name in group["tanks"])
    return [
        heading(f"By the log of {'tank' if len(group['tanks']) == 1 else 'tanks'} {names}"),
        paragraph(*_rests_on(answer, group)),
        *_found(group, sizes),
        *_used(group["used"], sizes),
        *(paragraph(one) for one in group["refused"]),
    ]


def _rests_on(answer: Plain, group: Plain) -> Iterator[str]:
    changes, rainy = count(group["changes"], "change"), group["rainy"]
    yield (
        f"{day(answer['since'])} to {day(answer['until'])}: {changes} of level were weighed, "
        f"{rainy} of them with rain."
    )
    if group["censored_days"]:
        days = count(group["censored_days"], "day")
        yield f"On {days} a tank may have spilled or run short: they say nothing of the roof."
    if group["set_aside"]:
        days = ", ".join(day(one) for one in group["set_aside"])
        yield f"Nothing explains the change of {days}, so that it was left out."


def _found(group: Plain, sizes: Sizes) -> Iterator[Block]:
    named = {
        "catch": "what the roofs shed, of what the file says",
        "first_flush": "the first flush, of what the file says",
        "unmetered_use": "use without a meter, of what the file expects",
    }
    rows = [
        (words, sizes.share(one["value"]), _range(one, sizes), str(one["days"]))
        for key, words in named.items()
        for one in group[key]
    ]
    rows += [
        (
            "what nothing accounts for, last season",
            sizes.daily(one["value"]),
            f"{sizes.daily(one['low'])} to {sizes.daily(one['high'])}",
            str(one["days"]),
        )
        for one in group["unaccounted"]
    ]
    if rows:
        yield ruled(("", "found", "95 times of 100", "days"), rows)


def _range(one: Plain, sizes: Sizes) -> str:
    return f"{sizes.share(one['low'])} to {sizes.share(one['high'])}"


def _used(used: list[Plain], sizes: Sizes) -> Iterator[Block]:
    if not used:
        return
    rows = [
        (
            ", ".join(one["uses"]),
            sizes.daily(one["measured_l_per_day"]),
            f"{sizes.daily(one['low_l_per_day'])} to {sizes.daily(one['high_l_per_day'])}",
            sizes.daily(one["expected_l_per_day"]),
            str(one["days"]),
        )
        for one in used
    ]
    yield GAP
    yield ruled(("use by meter", "counted", "95 times of 100", "expected", "days"), rows)


def _offers(offers: list[Plain]) -> Iterator[Block]:
    if not offers:
        yield paragraph(NOTHING)
        return
    yield from findings_of(offers)
    yield paragraph(BY_YOU)
