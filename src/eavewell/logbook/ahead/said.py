"""What somebody says will come: "0.8 in on Friday", "2,000 gal on 2027-03-08 to main"."""

from collections.abc import Sequence
from datetime import date, timedelta

from eavewell.faults import BadLog, BadQuantity
from eavewell.logbook.ahead.basis import Arrival
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.units import read

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
SHORTEST_DAY = 3


def rains_said(texts: Sequence[str], *, today: date) -> dict[date, float]:
    """Depths of rain by day; two of one day add up.

    Raises BadLog or BadQuantity in a sentence.
    """
    found: dict[date, float] = {}
    for text in texts:
        depth, when = _parted(text, like="0.8 in on Friday")
        day = day_said(when, today=today)
        found[day] = found.get(day, 0.0) + read(depth, "depth")
        if found[day] > table("rain_limits")["suspicious_day"].value:
            raise BadLog(
                f"{text!r}: so much rain has hardly ever fallen in a day. Is its unit right?"
            )
    return found


def loads_said(texts: Sequence[str], site: Site, *, today: date) -> tuple[Arrival, ...]:
    """Loads by day; without a tank they go where the truck goes, without a volume they are its.

    Raises BadLog or BadQuantity in a sentence.
    """
    return tuple(_load(text, site, today=today) for text in texts)


def _load(text: str, site: Site, *, today: date) -> Arrival:
    volume, when = _parted(text, like="2,000 gal on Friday")
    when, _, to = when.partition(" to ")
    tank = to.strip() or _fills(site)
    if tank not in {one.name for one in site.tanks}:
        raise BadLog(f"A load to {tank!r}: there is no such tank.")
    usual = {truck.to: truck.load_l for truck in site.hauling}.get(tank)
    if not volume and usual is None:
        raise BadLog(f"A load to {tank!r}: say how much, such as '2,000 gal on Friday'.")
    brought = usual if not volume else read(volume, "volume")
    assert brought is not None
    return Arrival(day_said(when, today=today), tank, brought)


def _fills(site: Site) -> str:
    trucks = {truck.to for truck in site.hauling}
    tanks = trucks or {tank.name for tank in site.tanks if not tank.is_sump}
    if len(tanks) != 1:
        raise BadLog("A load: say which tank it fills, such as '2,000 gal on Friday to main'.")
    return tanks.pop()


def _parted(text: str, *, like: str) -> tuple[str, str]:
    said = f" {text.strip()}"
    amount, between, when = said.partition(" on ")
    if not between:
        raise BadLog(f"{text!r}: say how much and on which day, such as {like!r}.")
    return amount.strip(), when.strip()


def day_said(text: str, *, today: date) -> date:
    """A day as 2027-03-05, today, tomorrow, or a weekday: the next of that name after today.

    Raises BadLog for anything else.
    """
    said = text.strip().lower()
    if said in ("today", "tomorrow"):
        return today + timedelta(days=("today", "tomorrow").index(said))
    for n, name in enumerate(WEEKDAYS):
        if len(said) >= SHORTEST_DAY and name.startswith(said):
            return today + timedelta(days=(n - today.weekday() - 1) % 7 + 1)
    try:
        return date.fromisoformat(said)
    except ValueError:
        raise BadLog(
            f"{text!r} is no day: write it as 2027-03-05, today, tomorrow or Friday."
        ) from None


def uses_said(texts: Sequence[str], site: Site) -> dict[str, float]:
    """Use in a day as "84 gal/day" for all uses together, or "house=60 gal/day".

    Raises BadLog or BadQuantity in a sentence.
    """
    names, found = {use.name for use in site.uses}, dict[str, float]()
    for text in texts:
        name, _, amount = text.rpartition("=")
        if name and name not in names:
            raise BadLog(f"There is no use {name!r}: {', '.join(sorted(names))}.")
        found[name] = read(amount, "daily")
    return found


def levels_said(texts: Sequence[str]) -> dict[str, str]:
    """Levels as "main=41 in", or "41 in" for the only tank."""
    parted = [text.rpartition("=") for text in texts]
    return {name.strip(): said.strip() for name, _, said in parted}


def chance_said(text: str) -> float | None:
    """A chance such as "10 %" or 0.1; None for an empty text."""
    if not text:
        return None
    try:
        return read(text, "share")
    except BadQuantity:
        raise BadLog(f"{text!r} is no chance: write it as '10 %'.") from None
