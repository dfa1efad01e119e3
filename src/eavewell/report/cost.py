"""The part of the report on money: what it costs, what it saves, and the other ways to water."""

from math import log10
from typing import Any

from eavewell.answers.shown import Sizes, count
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.report.cautions import cautioned
from eavewell.units import read, show

Plain = dict[str, Any]
_RUNNING = {
    "energy": "electric energy a year",
    "tests": "water tests a year",
    "hauled": "hauled loads a year",
    "mains": "mains water a year",
}


def cost_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """First cost, a whole life, other ways; nothing where no part has a price."""
    cost = answer["cost"]
    if cost["first"]["typical"] is None:
        return [heading("Money"), paragraph(_without_prices(cost))]
    head = (f"in {cost['currency']}{_years(cost)}", "low", "typical", "high")
    return [
        heading("Money"),
        ruled(head, _rows(cost, sizes)),
        GAP,
        paragraph(*_payback(cost)),
        *_others(cost),
        paragraph(*_energy(cost, sizes)),
        paragraph(*_rests_on(cost), style="italic"),
        cautioned(answer, "cost"),
    ]


def _without_prices(cost: Plain) -> str:
    return (
        f"No part has a price in {cost['currency']}: the shipped prices are in US dollars and from "
        "memory. Name your own price book in [money] prices."
    )


def _years(cost: Plain) -> str:
    first, last = cost["price_year_first"], cost["price_year_last"]
    return f" of {first}" if first == last else f" of {first} to {last}"


def _rows(cost: Plain, sizes: Sizes) -> list[tuple[str, ...]]:
    running = cost["running"]
    rows = [("to have it: parts with spares", cost["first"])]
    rows += [(words, running[what]) for what, words in _RUNNING.items() if running[what]["high"]]
    life = cost["life"]
    rows.append((f"all of {life['years']} years, in today's money", life["present"]))
    rows.append(("the same as an even sum a year", life["yearly"]))
    lines = [(words, *_band(band)) for words, band in rows]
    if cost["rebate"]:
        lines.insert(1, ("rebate, once", *(f"-{money(cost['rebate'])}" for _ in range(3))))
    if cost["per_m3"]["typical"] is not None:
        lines.append(_per_volume(cost["per_m3"], sizes))
    return lines


def _per_volume(per_m3: Plain, sizes: Sizes) -> tuple[str, ...]:
    us = sizes.system == "us"
    times = read("1,000 gal", "volume") / 1000.0 if us else 1.0
    name = "1,000 gal" if us else "m3"
    return (f"for each {name} of rain that is used", *(f"{per_m3[k] * times:,.2f}" for k in _ENDS))


_ENDS = ("low", "typical", "high")


def _band(band: Plain) -> tuple[str, ...]:
    return tuple(money(band[end]) for end in _ENDS)


def money(amount: float | None) -> str:
    """An amount without pretence: three figures from 100,000, cents below 20; a dash unknown."""
    if amount is None:
        return "-"
    if abs(amount) >= 1000.0:
        most = 2 - int(log10(abs(amount))) if abs(amount) >= 1e5 else -1
        return f"{round(amount, most):,.0f}"
    return f"{amount:,.0f}" if abs(amount) >= 20.0 or amount == 0.0 else f"{amount:,.2f}"


def _low_to_high(band: Plain) -> str:
    low, high = money(band["low"]), money(band["high"])
    return low if low == high else f"{low} to {high}"


def _payback(cost: Plain) -> list[str]:
    back, years = cost["payback"], cost["life"]["years"]
    if not back["against"]:
        return ["It replaces no water that is paid for: there is nothing to pay it back from."]
    saved = back["saved_per_year"]
    low, usual, high = (_in_years(back[key]) for key in ("years_low", "years", "years_high"))
    worth = f"{_low_to_high(saved)} {cost['currency']} of {back['against']}"
    says = f"The rain that is used replaces {worth} a year."
    if back["years_low"] is None:
        return [says, f"It never pays itself back within {years} years, on any of these prices."]
    if low == usual == high:
        return [says, f"It pays itself back in {usual}."]
    return [
        says,
        f"It pays itself back: {usual} on typical prices; at best {low}, at worst {high}.",
    ]


def _in_years(years: float | None) -> str:
    if years is None:
        return "never"
    return count(years, "year") if years >= 1.0 else "within a year"


def _others(cost: Plain) -> list[Block]:
    if not cost["others"]:
        return []
    head = (
        "other ways to the same water",
        "to have it",
        "a year",
        f"{cost['life']['years']} years",
    )
    rows = [
        (way["name"], *(_low_to_high(way[key]) for key in ("first", "yearly", "present")))
        for way in cost["others"]
    ]
    notes = [way["says"] for way in cost["others"]]
    return [GAP, ruled(head, rows, notes=notes), GAP]


def _energy(cost: Plain, sizes: Sizes) -> list[str]:
    energy = cost["energy"]
    if not energy["consumers"]:
        return []
    each = [
        f"{one['name']} {_kwh(one['kwh_day'])}"
        + (f" ({_watts(one)})" if one["running_w"] is not None else "")
        for one in energy["consumers"]
    ]
    says = [f"Electric energy of an average day: {'; '.join(each)}."]
    if len(each) > 1 and not energy["unknown"]:
        says.append(f"Together {_kwh(energy['kwh_per_day'])}.")
    if energy["battery_days"] is not None:
        days = show(energy["battery_days"], "duration", system=sizes.system)
        says.append(f"The battery feeds it all for {days}.")
    return says


def _kwh(kwh: float | None) -> str:
    return "unknown" if kwh is None else f"{kwh:.2g} kWh"


def _watts(one: Plain) -> str:
    running = f"{one['running_w']:,.0f} W"
    if one["start_w"] is None or one["start_w"] == one["running_w"]:
        return running
    return f"{running}, {one['start_w']:,.0f} W at the start"


def _rests_on(cost: Plain) -> list[str]:
    says = ["Parts alone: labour, delivery, design and permits come on top."]
    if cost["from_memory"]:
        says.append("Prices from memory - check: put your own in a price book.")
    says += [f"{one[:1].upper()}{one[1:]}." for one in cost["assumed"]]
    if cost["unpriced"]:
        says.append(f"Without a price: {', '.join(cost['unpriced'])}.")
    if not cost["life"]["discount"] and not cost["life"]["inflation"]:
        says.append("Plain sums: neither discount nor inflation was asked for.")
    return says
