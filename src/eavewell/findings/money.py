"""Whether the money is told whole, and whether scarce power reaches."""

from collections.abc import Iterator

from eavewell.cost.reckoned import Reckoned
from eavewell.findings.rounding import no_less
from eavewell.site.finding import COMMON, Finding
from eavewell.site.site import Site

DECIDES = "Screening, not design approval; a licensed electrician decides."


def money_told(site: Site, found: Reckoned) -> Iterator[Finding]:
    """Checks on the prices, on what the system pays back, and on its power."""
    yield from _prices(found)
    yield from _pays(found)
    yield from _rebate(found)
    yield from _power(site, found)


def _prices(found: Reckoned) -> Iterator[Finding]:
    priced = found.priced
    if priced.unpriced and priced.rows:
        names = sorted({part.part for part in priced.unpriced})
        yield Finding(
            "price-missing",
            "watch",
            "money",
            f"Without a price, and so left out of every sum: {', '.join(names)}.",
            measured=float(len(names)),
            limit=0.0,
            unit="parts",
            source=COMMON,
            fix=f"a row for each in a price book in {found.money.currency}",
        )
    unread = [part.part for part in found.parts.parts if part.count == 0.0]
    if unread:
        names = sorted(set(unread))
        says = f"Not counted, since a size is unknown: {', '.join(names)}."
        yield Finding("part-size-unknown", "note", "parts", says)
    if priced.unmatched:
        names = sorted(repr(name) for name in priced.unmatched)
        says = f"Said to be there already, but no part is called so: {', '.join(names)}."
        fix = "the name of a part, or of a thing such as tank 'main'"
        yield Finding("part-not-found", "watch", "money", says, source=COMMON, fix=fix)
    if priced.from_memory:
        says = "Prices are from memory: the sums are an order of size, not an offer."
        fix = "a price book of your own, with today's offers"
        yield Finding("prices-from-memory", "note", "money", says, source=COMMON, fix=fix)


def _pays(found: Reckoned) -> Iterator[Finding]:
    back, years = found.payback, float(found.money.years)
    if back is not None and back.years_low is None:
        yield Finding(
            "never-pays-back",
            "note",
            "money",
            f"Against {back.against} it never pays itself back within its life, not even on low "
            "prices; there may be other reasons to build it.",
            limit=years,
            unit="years",
            source="arithmetic of the price book; only used rain counts",
            fix="fewer parts, or more use of the rain that spills",
        )
    stored = found.water.used_l
    if stored <= 0.0:
        says = "No rain is used: what is stored and never drawn saves nothing."
        yield Finding("rain-not-used", "watch", "money", says, source=COMMON)


def _rebate(found: Reckoned) -> Iterator[Finding]:
    rebate, first = found.life.rebate, found.priced.first.typical
    if found.priced.rows and rebate > first:
        yield Finding(
            "rebate-above-cost",
            "watch",
            "money",
            "The rebates come to more than the parts cost; most programmes pay no more than is "
            "spent. The programme office decides.",
            measured=rebate,
            limit=first,
            unit=found.money.currency,
            source=COMMON,
            fix="the programme's own limit as `most`",
        )


def _power(site: Site, found: Reckoned) -> Iterator[Finding]:
    power, energy = site.power, found.energy
    scarce = power.battery_kwh is not None or power.winter_kwh_day is not None
    if scarce and energy.unknown:
        says = f"Not checked: {', '.join(energy.unknown)} unknown."
        yield Finding("power-not-checked", "note", "power", says)
    start = energy.largest_start_w
    if power.surge_w is not None and start is not None and start > power.surge_w:
        yield Finding(
            "start-above-surge",
            "fix",
            "power",
            f"The largest start, with everything else running, is more than it gives. {DECIDES}",
            measured=start,
            limit=power.surge_w,
            unit="W",
            source="arithmetic of the plates",
            fix=f"{no_less(start, 'power', system=site.place.show)} for a start, or a pump with "
            "a soft start",
        )
    sun = power.winter_kwh_day
    if sun is not None and not energy.unknown and energy.kwh_day > sun * (1.0 + 1e-9):
        yield Finding(
            "winter-sun-too-little",
            "fix",
            "power",
            f"A winter day brings less than pumps, lamps and controls take. {DECIDES}",
            measured=energy.kwh_day,
            limit=sun,
            unit="kWh",
            source="arithmetic of the plates",
            fix=f"{no_less(energy.kwh_day, 'energy', system=site.place.show)} on a winter day, or "
            "less that runs day and night",
        )
