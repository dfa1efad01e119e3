"""What the log knows of the loads that came before: how long they took, what the last one cost."""

import math
import statistics
from collections.abc import Iterable
from dataclasses import dataclass

from eavewell.site.entry import Load
from eavewell.tables import table

ENOUGH = 3
SECONDS_OF_DAY = 86_400.0


@dataclass(frozen=True, slots=True)
class HauledBefore:
    """The loads of one tank.

    leads : how many of them have the day of their order and that of their arrival.
    lead_days, slow_days : from order to arrival, the middle one and the longest of them; the
            longest is at least that of a drought until there are enough. None where none tells.
    last_price : of the last that has one, in the site's currency.
    """

    leads: int
    lead_days: int | None
    slow_days: int | None
    last_price: float | None


def hauled_before(loads: Iterable[Load]) -> dict[str, HauledBefore]:
    """By tank; a tank to which no load came is left out."""
    by_tank: dict[str, list[Load]] = {}
    for load in loads:
        if load.came is not None:
            by_tank.setdefault(load.to, []).append(load)
    return {tank: _of(listed) for tank, listed in by_tank.items()}


def _of(loads: list[Load]) -> HauledBefore:
    leads = [
        max(math.ceil((load.came - load.ordered).total_seconds() / SECONDS_OF_DAY), 0)
        for load in loads
        if load.came is not None and load.ordered is not None
    ]
    in_order = sorted(loads, key=lambda load: str(load.came))
    prices = [load.price for load in in_order if load.price is not None]
    price = prices[-1] if prices else None
    if not leads:
        return HauledBefore(0, None, None, price)
    usual = math.ceil(table("hauling")["lead in drought"].value)
    slow = max(leads) if len(leads) >= ENOUGH else max(usual, *leads)
    return HauledBefore(len(leads), math.ceil(statistics.median(leads)), slow, price)
