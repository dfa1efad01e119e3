"""Papers of a workshop: one page a person, and the build day with parts, tools and cuts."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.paper import (
    Boxes,
    Form,
    Lead,
    Ledger,
    NewPage,
    Paper,
    PaperBlock,
    Part,
    Step,
)
from eavewell.report.blocks import heading, marked, paragraph, ruled
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words
from eavewell.units import convert, read, show

WORDS = words("workshop")
Plain = Mapping[str, Any]
# rains of which a page tells what they bring, in inches and in mm
RAINS: Mapping[str, tuple[str, ...]] = {
    "us": ("0.1 in", "0.25 in", "0.5 in", "1 in"),
    "metric": ("2 mm", "5 mm", "10 mm", "25 mm"),
}
# a page holds so many rows of the kit, in two columns
KIT_ROWS = 20
_MEASURES = {"L": "volume", "W": "power"}


def pages_paper(told: Plain, *, day: date) -> Paper:
    """One page for each guest; told : a workshop as plain data."""
    blocks: list[PaperBlock] = []
    for at, guest in enumerate(told["guests"]):
        blocks += [NewPage()] if at else []
        blocks += _page(told, guest)
    return _paper(told, blocks, named=("pages", WORDS.say("named")), day=day)


def build_day_paper(told: Plain, *, day: date) -> Paper:
    """Who comes, parts for all, tools, and how stock is cut."""
    system: Show = told["system"]
    guests = [
        (
            one["name"],
            one["town"],
            WORDS.say("day.roof_unknown")
            if one["area_m2"] is None
            else Sizes(system).area(one["area_m2"]),
            one["what_for"],
        )
        for one in told["guests"]
    ]
    blocks: list[PaperBlock] = [
        Part(WORDS.say("day.mind")),
        *(marked("-", one) for one in told["mind"]),
        Part(WORDS.say("day.order")),
        ruled(WORDS.several("day.order_head"), _order(told), names=(0, 1)),
        paragraph(WORDS.say("day.order_says", kits=told["kits"], kit=told["kit"])),
        Part(WORDS.say("day.tools")),
        paragraph(WORDS.say("day.tools_says", kits=told["kits"])),
        Boxes(
            tuple(
                WORDS.say("day.tool", count=one["count"], tool=one["tool"]) for one in told["tools"]
            )
        ),
        Part(WORDS.say("day.cuts")),
        ruled(WORDS.several("day.cuts_head"), _cuts(told), names=(0, 1, 2)),
        paragraph(
            WORDS.say(
                "day.cuts_says", saw=show(told["saw_m"], "length", unit=_fine(system), figures=2)
            )
        ),
        Part(WORDS.say("day.who")),
        Ledger(WORDS.several("day.who_head"), tuple(guests), (2.4, 2.0, 2.0, 4.0)),
    ]
    return _paper(told, blocks, named=("build-day", WORDS.say("named.day")), day=day)


def _paper(
    told: Plain, blocks: Sequence[PaperBlock], *, named: tuple[str, str], day: date
) -> Paper:
    return Paper(
        name=named[0],
        title=named[1],
        site=told["kit"],
        day=day,
        record=WORDS.say("record"),
        version=told["eavewell"],
        blocks=tuple(blocks),
        paged="letter" if told["system"] == "us" else "a4",
    )


def _fine(system: Show) -> str:
    return "in" if system == "us" else "mm"


def _page(told: Plain, guest: Plain) -> Iterator[PaperBlock]:
    system: Show = told["system"]
    yield Part(
        WORDS.say("page.who", name=guest["name"], town=guest["town"])
        if guest["town"]
        else guest["name"]
    )
    if guest["area_m2"] is None:
        yield from _unknown(guest, system)
    elif guest["share"] is None:
        yield from _no_finish(guest, system)
    else:
        yield from _known(told, guest, system=system)
    yield heading(WORDS.say("page.for"))
    yield paragraph(guest["what_for"] or WORDS.say("page.none"))
    if guest["area_m2"] is not None:
        yield heading(WORDS.say("page.kit"))
        yield ruled(WORDS.several("page.kit_head") * 2, _kit(told, system), names=(0, 1, 3, 4))
    yield heading(WORDS.say("page.mind"))
    yield from (marked("-", one) for one in guest["mind"])


def _known(told: Plain, guest: Plain, *, system: Show) -> Iterator[PaperBlock]:
    sizes = Sizes(system)
    rain = show(guest["fill_mm"], "depth", system=system, figures=2)
    yield Lead(
        WORDS.say("page.fills", rain=rain, volume=sizes.volume(told["tank_l"]), kit=told["kit"])
    )
    area, share = sizes.area(guest["area_m2"]), sizes.share(guest["share"])
    yield paragraph(
        WORDS.say("page.facts", area=area, finish=guest["finish"], share=share),
        WORDS.say("page.flush", flush=sizes.volume(told["flush_l"])) if told["flush_l"] else "",
    )
    lines = [_rain(told, guest, rain=rain) for rain in RAINS[system]]
    yield ruled(WORDS.several("page.rain_head"), lines)


def _rain(told: Plain, guest: Plain, *, rain: str) -> tuple[str, ...]:
    """What one rain brings into empty tanks, after the first flush."""
    sizes = Sizes(told["system"])
    came_l = max(0.0, read(rain, "depth") * guest["per_mm_l"] - told["flush_l"])
    over_l = came_l - told["tank_l"]
    if over_l >= 0.0:
        return rain, sizes.volume(came_l), WORDS.say("page.full", over=sizes.volume(over_l))
    share = show(came_l / told["tank_l"], "share", figures=2)
    return rain, sizes.volume(came_l), WORDS.say("page.share", share=share)


def _no_finish(guest: Plain, system: Show) -> Iterator[PaperBlock]:
    area = Sizes(system).area(guest["area_m2"])
    inch = "1 in" if system == "us" else "10 mm"
    water = Sizes(system).volume(read(inch, "depth") * guest["area_m2"])
    yield Lead(WORDS.say("page.no_finish", rain=inch, water=water))
    yield paragraph(WORDS.say("page.find_finish", area=area))


def _unknown(guest: Plain, system: Show) -> Iterator[PaperBlock]:
    """The steps with a tape measure, and lines for what they give."""
    yield Lead(WORDS.say("unknown.title"))
    if guest["roof"]:
        yield paragraph(WORDS.say("page.written", roof=guest["roof"]))
    for number, says in enumerate(WORDS.several("unknown.steps"), 1):
        yield Step(number, says)
    yield Form(WORDS.several("unknown.form"))
    if system == "us":
        litres = read("1 in", "depth") * read("1 ft2", "area")
        gallons = convert(litres, "volume", unit="gal")
        yield paragraph(WORDS.say("unknown.rule", gallons=gallons))
    else:
        yield paragraph(WORDS.say("unknown.rule_metric"))


def _kit(told: Plain, system: Show) -> list[tuple[str, ...]]:
    """What one kit is made of, in two columns; what the page does not hold is in the order."""
    found = [
        (one["part"], size_of(one, system), count_of(one["count"], one["unit"], system=system))
        for one in told["each"][: 2 * KIT_ROWS]
    ]
    half = (len(found) + 1) // 2
    right = [*found[half:], ("", "", "")]
    return [(*one, *other) for one, other in zip(found[:half], right, strict=False)]


def size_of(one: Plain, system: Show) -> str:
    """The size of a part as it is sold; "" for one without."""
    measure = next(row["measure"] for row in rows("parts") if row["part"] == one["part"])
    if one["called"] or one["size"] is None or measure not in _MEASURES:
        return str(one["called"])
    return show(one["size"], _MEASURES[measure], system=system)


def count_of(count: float, unit: str, *, system: Show) -> str:
    """How many, or how much with its unit."""
    if unit == "each":
        return f"{count:,.0f}"
    quantity = {"m": "length", "m2": "area"}.get(unit)
    if quantity:
        return show(count, quantity, system=system)
    return show(count * 1000.0, "volume", system=system) if unit == "m3" else f"{count:,.3g} {unit}"


def _order(told: Plain) -> list[tuple[str, ...]]:
    system: Show = told["system"]
    return [
        (
            one["part"],
            size_of(one, system),
            count_of(one["count"], one["unit"], system=system),
            count_of(one["spares"], one["unit"], system=system) if one["spares"] else "-",
            count_of(one["count"] + one["spares"], one["unit"], system=system),
            "-" if one["stock_pieces"] is None else _stock(one, system),
        )
        for one in told["order"]
    ]


def _stock(one: Plain, system: Show) -> str:
    return f"{one['stock_pieces']} x {show(one['stock_m'], 'length', system=system)}"


def _cuts(told: Plain) -> list[tuple[str, ...]]:
    system: Show = told["system"]
    return [
        (
            f"{one['part']} {one['called']}",
            show(one["stock_m"], "length", system=system),
            _cut(one, system),
            f"{one['pieces']}",
            "-" if not one["left_m"] else show(one["left_m"], "length", system=system),
        )
        for one in told["cuts"]
    ]


def _cut(one: Plain, system: Show) -> str:
    if not one["left_m"]:
        return WORDS.say("day.whole")
    return " + ".join(show(length, "length", system=system) for length in one["lengths_m"])
