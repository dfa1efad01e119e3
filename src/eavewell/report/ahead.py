"""The look ahead as a page: until when, the stick with its marks, the years, what to do."""

import math
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from eavewell.answers.shown import Sizes, count, day, listed
from eavewell.report.blocks import (
    GAP,
    INVENTED,
    Block,
    heading,
    marked,
    one_line,
    paragraph,
    ruled,
)
from eavewell.report.cost import money
from eavewell.report.lasts import days_words, held_words, lasts, rain_words, stated_words
from eavewell.report.stick import on_stick, stick
from eavewell.site.place import Show
from eavewell.units import show

Plain = dict[str, Any]
# Tenths of a way by their place: driest, middle, wettest.
DRIEST, MIDDLE, WETTEST = 0, 4, 8
WEEK = 7
BY_USE_AHEAD = (
    "These levels go by the use ahead; those of the tank card by the month that asks most."
)


def ahead_page(answer: Plain, *, system: Show) -> list[Block]:
    """The whole page; system is "us" or "metric"."""
    sizes = Sizes(system)
    return [
        *_title(answer, sizes),
        *(block for one in answer["supplies"] for block in lasts_blocks(one, answer, sizes=sizes)),
        *reach_blocks(answer, sizes),
        *(block for tank in answer["tanks"] for block in stick(tank, answer, sizes=sizes)),
        *years_blocks(answer, sizes),
        *loads_blocks(answer, sizes),
        *cuts_blocks(answer, sizes),
        *end_blocks(answer),
    ]


def _title(answer: Plain, sizes: Sizes) -> list[Block]:
    blocks: list[Block] = [
        GAP,
        one_line(f"{answer['site']}: the look ahead from {day(answer['day'])}", style="bold"),
        one_line(f"{answer['years']} years of {answer['rain']}, each begun on this date"),
    ]
    blocks += [INVENTED] if answer["invented"] else []
    return blocks + [one_line(alert_words(one, sizes), style="bold") for one in answer["alerts"]]


def alert_words(one: Plain, sizes: Sizes) -> str:
    """What is to be acted on today, in a line."""
    days = days_words(one["days"]) if one["days"] is not None else ""
    share = sizes.share(one["share"]) if one["share"] is not None else ""
    return {
        "dry soon": f"{one['about']}: with no rain dry in {days}.",
        "order": f"Order a load for {one['about']} today.",
        "order early": f"Order a load for {one['about']} today where trucks are slow.",
        "ration": f"{one['about']} is on ration: {share}.",
        "old reading": f"The last reading is {days} old: read the level.",
    }[one["what"]]


def lasts_blocks(one: Plain, answer: Plain, *, sizes: Sizes) -> Iterator[Block]:
    """How long the water of a supply lasts with no rain, and what a rain brings."""
    yield heading(f"How long the water of {listed(one['tanks'])} lasts")
    first, *then = lasts(one, answer, sizes=sizes)
    yield paragraph(first.words, style="bold")
    for more in then:
        yield paragraph(more.words)
    make_up = "Make-up from the mains is left out of these days." if one["has_make_up"] else ""
    yield paragraph(
        make_up,
        stated_words(answer, sizes),
        rain_words(one, sizes),
        held_words(one, answer, sizes=sizes),
    )


def years_blocks(answer: Plain, sizes: Sizes) -> Iterator[Block]:
    """Through every year of the record: when it runs dry, the next ration stage, the levels."""
    ways = {way["name"]: way for way in answer["ways"]}
    way = ways.get("no loads", ways["as stated"])
    yield heading("Through every year of the record")
    without = ", no load ordered" if "no loads" in ways else ""
    yield paragraph(
        f"Rations as stated{without}: {_dry(way['dry'], sizes)}"
        if _rationed(answer)
        else _begun(f"{'no load ordered: ' if without else ''}{_dry(way['dry'], sizes)}"),
        *(stage_words(stage, sizes) for stage in answer["stages"]),
    )
    yield GAP
    yield ruled(
        ("evening of", "driest\ntenth", "middle", "wettest\ntenth", "have\nrun dry"),
        [
            (
                day(when.isoformat()),
                *(
                    sizes.volume(way["tenths"][tenth]["evening_l"][n])
                    for tenth in (DRIEST, MIDDLE, WETTEST)
                ),
                sizes.share(way["dry_by_chance"][n]),
            )
            for n, when in _dates(answer, len(way["dry_by_chance"]))
        ],
    )


def _begun(sentence: str) -> str:
    return f"{sentence[:1].upper()}{sentence[1:]}"


def _rationed(answer: Plain) -> bool:
    return any(one["has_rations"] for one in answer["supplies"])


def _dates(answer: Plain, evenings: int) -> Iterator[tuple[int, date]]:
    """A week from today, then the first of every month."""
    first = date.fromisoformat(answer["day"])
    for n in range(evenings):
        when = first + timedelta(days=n)
        if n == WEEK or (n > WEEK and when.day == 1):
            yield n, when


def _dry(dry: Plain, sizes: Sizes) -> str:
    if dry["driest_tenth"] is None:
        chance = f" ({sizes.share(dry['chance'])})" if dry["chance"] else ""
        return f"in fewer than one year of ten{chance} it runs dry within the year."
    middle = (
        f"in the middle of years by {day(dry['middle'])}"
        if dry["middle"]
        else "in the middle of years not within the year"
    )
    return (
        f"in the driest tenth of years it runs dry by {day(dry['driest_tenth'])}, {middle}; within "
        f"the year in {sizes.share(dry['chance'])} of them."
    )


def stage_words(stage: Plain, sizes: Sizes) -> str:
    """The next ration stage of a use, in sentences."""
    now = "" if stage["share"] == 1.0 else f" gets {sizes.share(stage['share'])} now;"
    if stage["next_share"] is None:
        return f"{stage['use']}{now or ' has no ration stage'} no stage below it."
    begins = stage["begins"]
    by = (
        f"by {day(begins['driest_tenth'])} in the driest tenth of years"
        if begins["driest_tenth"]
        else "in fewer than one year of ten"
    )
    middle = f", by {day(begins['middle'])} in the middle of them" if begins["middle"] else ""
    comes = f"its ration of {sizes.share(stage['next_share'])} begins {by}{middle}."
    return f"{stage['use']}:{now} {comes}"


def loads_blocks(answer: Plain, sizes: Sizes) -> Iterator[Block]:
    """When to order a load, whether it fits, and what to ask."""
    if not answer["orders"]:
        return
    yield heading("Hauled loads")
    for order in answer["orders"]:
        yield paragraph(*(order_words(order, lead, sizes=sizes) for lead in ("slow", "normal")))
        yield paragraph(
            _fits(order, sizes, today=answer["day"]),
            _one_load(order, sizes),
            _before(order, answer["currency"]),
            BY_USE_AHEAD,
        )
    stated = next(way for way in answer["ways"] if way["name"] == "as stated")
    yield paragraph(
        *(
            f"Ordered as stated, {one['to']} takes {count_of_loads(one['mean'])} in a year from "
            f"now, {one['driest_tenth']:.0f} in the driest tenth of years."
            for one in stated["loads"]
        )
    )
    for ask in answer["orders"][0]["ask"]:
        yield marked("-", ask["says"])


def count_of_loads(mean: float) -> str:
    """A mean number of loads in words."""
    return f"{mean:.1f} loads"


def order_words(order: Plain, lead: str, *, sizes: Sizes) -> str:
    """By which day and level a load is ordered, with one lead time."""
    one = order[lead]
    kind = "as in a drought" if lead == "slow" else "as usual"
    takes = f"With {count(one['days'], 'day')} from order to truck, {kind}, order for {order['to']}"
    at = "" if one["order_m"] is None else f"{on_stick(one['order_m'], sizes)} on the stick, "
    level = f"below {at}{sizes.volume(one['order_l'])} in it"
    by = one["order_by"]
    if one["today"]:
        return f"{takes} {level}: TODAY."
    dates = [
        f"by {day(when)} {words}"
        for when, words in (
            (one["no_rain_on"], "with no rain"),
            (by["driest_tenth"], "in the driest tenth of years"),
            (by["middle"], "in the middle of years"),
        )
        if when
    ]
    return f"{takes} {level}: {listed(dates) if dates else 'not within the year'}."


def _fits(order: Plain, sizes: Sizes, *, today: str) -> str:
    load = sizes.volume(order["load_l"])
    if order["fits_l"] is None:
        return f"A load of {load} never has room: order a smaller one."
    fits = order["fits"]
    when = fits["middle"] or fits["driest_tenth"]
    level = f"{sizes.volume(order['fits_l'])} in it"
    at = level if order["fits_m"] is None else f"{on_stick(order['fits_m'], sizes)}, {level}"
    room = f", in the middle of years from {day(when)}" if when else ", not within the year"
    room = ", as it does now" if when == today else room
    return f"A load of {load} has room below {at}{room}."


def _one_load(order: Plain, sizes: Sizes) -> str:
    weighs = show(order["load_l"], "weight", system=sizes.system)
    lasts = (
        f"It lasts {days_words(order['load_days'])} at the ration. " if order["load_days"] else ""
    )
    return f"{lasts}Its water alone weighs {weighs}."


def _before(order: Plain, currency: str) -> str:
    """What the loads of the log tell."""
    leads, price = order["own_leads"], order["last_price"]
    days = f"These days are those of {count(leads, 'load')} of yours." if leads else ""
    cost = "" if price is None else f" The last cost {money(price)} {currency}."
    return f"{days}{cost}".strip()


def cuts_blocks(answer: Plain, sizes: Sizes) -> Iterator[Block]:
    """What is gained where a use is cut: with no rain, and in the driest tenth of years."""
    cuts = [cut for one in answer["supplies"] for cut in one["cuts"]]
    if not cuts:
        return
    yield heading("What a cut gains")
    yield ruled(
        ("use", "takes", "no rain:\nstopped", "halved", "driest tenth dry:\nstopped", "halved"),
        [
            (
                cut["use"],
                sizes.daily(cut["l_per_day"]),
                *(_gain(cut[key]) for key in ("wholly_gains_days", "half_gains_days")),
                "-" if cut["is_first"] else _dry_by(cut["wholly_dry"]),
                _dry_by(cut["half_dry"]),
            )
            for cut in cuts
        ],
    )


def _gain(days: float | None) -> str:
    return "-" if days is None else count(math.floor(days + 1e-6), "day")


def _dry_by(dry: Plain) -> str:
    return "not in a year" if dry["driest_tenth"] is None else day(dry["driest_tenth"])


def reach_blocks(answer: Plain, sizes: Sizes) -> Iterator[Block]:
    """What may be used to reach the day that was asked for."""
    for one in answer["reach"]:
        first, *then = reach_words(one, sizes)
        yield paragraph(first, style="bold" if then else "")
        for more in then:
            yield paragraph(more)


def reach_words(one: Plain, sizes: Sizes) -> tuple[str, ...]:
    """The same in sentences, what may be used first."""
    until, chance = day(one["until"]), sizes.share(one["chance_asked"])
    if one["l_per_day"] is None:
        return (
            f"To reach {until} there is no use small enough: the chance of running dry "
            f"before it is more than {chance} with nothing used.",
        )
    each = one["each_l_per_day"]
    persons = f", {sizes.daily(each)} each" if each else ""
    uses = [f"{use['name']} {sizes.daily(use['l_per_day'])}" for use in one["uses"]]
    shared = f" Shared as planned: {listed(uses)}." if len(uses) > 1 else ""
    return (
        f"To reach {until} use no more than {sizes.daily(one['l_per_day'])}{persons}.",
        f"That counts on the rain of the years: so used it runs dry before {until} in "
        f"{sizes.share(one['chance'])} of them "
        f"({chance} was borne), with no load but those stated.{shared}",
    )


def end_blocks(answer: Plain) -> list[Block]:
    """What the words above mean."""
    first = listed(dict.fromkeys(name for one in answer["supplies"] for name in one["first"]))
    return [
        GAP,
        paragraph(
            "Driest tenth: one year in ten holds less, or comes earlier. Runs dry: the use served "
            f"first ({first}) finds nothing in its tanks. The years are those of the record; a "
            "worse one may come.",
            style="italic",
        ),
    ]
