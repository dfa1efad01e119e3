"""What of the look ahead is to be acted on today."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from eavewell.logbook.ahead.look import Ahead
from eavewell.tables import table

What = Literal["order", "order early", "ration", "dry soon", "old reading"]


@dataclass(frozen=True, slots=True)
class Alert:
    """One thing to act on.

    about : the tank to order for, the use on ration, the tanks that soon run dry.
    days  : left with no rain, or since the reading; None where none are meant.
    share : of its want that a rationed use gets; None otherwise.
    """

    what: What
    about: str
    days: float | None = None
    share: float | None = None


def alerts(found: Ahead) -> tuple[Alert, ...]:
    """What is to be acted on, the most pressing first; empty where nothing is."""
    return (*_dry_soon(found), *_orders(found), *_rations(found), *_old(found))


def _dry_soon(found: Ahead) -> Iterator[Alert]:
    """Dry with no rain before a truck comes in a drought."""
    soon = table("hauling")["lead in drought"].value
    for one in found.supplies:
        left = (one.week or one.plan).rationed_days
        if left is not None and left <= soon:
            yield Alert("dry soon", ", ".join(one.supply.tanks), days=left)


def _orders(found: Ahead) -> Iterator[Alert]:
    for one in found.orders:
        if one.normal.today:
            yield Alert("order", one.to)
        elif one.slow.today:
            yield Alert("order early", one.to)


def _rations(found: Ahead) -> Iterator[Alert]:
    for one in found.stages:
        if one.share < 1.0:
            yield Alert("ration", one.use, share=one.share)


def _old(found: Ahead) -> Iterator[Alert]:
    since = (found.day - found.read_on).days
    if since > table("ahead")["old reading"].value:
        yield Alert("old reading", "", days=float(since))
