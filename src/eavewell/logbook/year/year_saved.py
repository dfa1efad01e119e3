"""What paid water a year of rain replaced: counted by meters, or modelled where none counts."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from eavewell.cost.tariff import MONTHS, mains_year
from eavewell.logbook.year.year_water import MonthOfWater, YearOfWater
from eavewell.site.entry import Load
from eavewell.site.site import Site

Replaces = Literal["mains water", "hauled loads", ""]


@dataclass(frozen=True, slots=True)
class Saved:
    """Rain that was used where paid water would have been bought.

    replaces   : that water; "" where the site could buy none, and nothing is saved.
    verified_l : by meters, less what loads and make-up brought. modelled_l : by the plan of uses
                 that no meter counts: not verified.
    money      : of both, in the site's currency; None where no price is stated.
    """

    replaces: Replaces
    verified_l: float
    modelled_l: float
    money: float | None
    verified_money: float | None


def saved_in(site: Site, water: YearOfWater, *, loads: Iterable[Load]) -> Saved:
    """Only used water that replaces paid water counts; stored and never drawn is none.

    loads : that came in the year; what they cost prices the loads that did not.
    """
    replaces = _replaces(site)
    if not replaces:
        return Saved("", 0.0, 0.0, None, None)
    by_month = [_rain_used(one) for one in water.months]
    verified = [one.verified_l for one in by_month]
    modelled = [one.modelled_l for one in by_month]
    whole = [a + b for a, b in zip(verified, modelled, strict=True)]
    bought = [one.make_up_l or 0.0 for one in water.months]
    priced = list(loads)
    return Saved(
        replaces,
        sum(verified),
        sum(modelled),
        _money(site, whole, bought=bought, loads=priced),
        _money(site, verified, bought=bought, loads=priced),
    )


@dataclass(frozen=True, slots=True)
class _Used:
    verified_l: float
    modelled_l: float


def _rain_used(one: MonthOfWater) -> _Used:
    """What was used less what was bought; bought water is taken off the metered first."""
    bought_l, metered_l = one.hauled_l + (one.make_up_l or 0.0), one.metered_l or 0.0
    left_l = max(bought_l - metered_l, 0.0)
    return _Used(max(metered_l - bought_l, 0.0), max(one.planned_l - left_l, 0.0))


def _replaces(site: Site) -> Replaces:
    """Mains where it has a price, else loads where they are ordered or priced."""
    if site.money.tiers:
        return "mains water"
    return "hauled loads" if site.hauling or site.money.load is not None else ""


def _money(
    site: Site, rain_l: list[float], *, bought: list[float], loads: list[Load]
) -> float | None:
    if site.money.tiers:
        return sum(
            _mains(site, a + b) - _mains(site, b) for a, b in zip(rain_l, bought, strict=True)
        )
    per_l = _price_l(site, loads)
    return None if per_l is None else per_l * sum(rain_l)


def _mains(site: Site, l_month: float) -> float:
    return (mains_year(MONTHS * l_month, site.money) or 0.0) / MONTHS


def _price_l(site: Site, loads: list[Load]) -> float | None:
    """Price of a litre by the loads that came, else as the site file states it."""
    paid = [one for one in loads if one.price is not None and one.volume_l > 0.0]
    if paid:
        return sum(one.price or 0.0 for one in paid) / sum(one.volume_l for one in paid)
    load_l = max((one.load_l for one in site.hauling), default=0.0)
    return site.money.load / load_l if site.money.load is not None and load_l else None
