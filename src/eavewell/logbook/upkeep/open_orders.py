"""Loads that were ordered and did not come yet."""

from collections.abc import Iterable
from datetime import datetime

from eavewell.site.entry import Load


def open_orders(loads: Iterable[Load]) -> list[tuple[Load, datetime]]:
    """Orders that no load answered yet, each with when it was placed.

    A load that came answers the order whose day it names; one that names none the oldest.
    """
    loads = list(loads)
    left = [(one, one.ordered) for one in loads if one.came is None and one.ordered]
    left.sort(key=lambda pair: pair[1])
    for load in loads:
        for pair in left:
            order, ordered = pair
            named = load.ordered is None or _same_day(load.ordered, ordered)
            if load.came and order.to == load.to and named and ordered <= load.came:
                left.remove(pair)
                break
    return left


def _same_day(one: datetime, other: datetime) -> bool:
    return one.astimezone(other.tzinfo).date() == other.date()
