"""Other ways to the same water: as it is now, all hauled, the mains, a well; and what is saved."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.cost.band import Band, flat
from eavewell.cost.life_cycle import LifeCycle, present_worth
from eavewell.cost.tariff import mains_year
from eavewell.cost.yearly_water import YearlyWater
from eavewell.site.money import Money
from eavewell.units import show

MAINS = "the mains"
# name, money to have it, money a year, what that rests on
_Way = tuple[str, Band, Band, str]


@dataclass(frozen=True, slots=True)
class OtherWay:
    """One other way to the water that is wanted.

    present : its money over the same years. says : what it rests on.
    """

    name: str
    first: Band
    yearly: Band
    present: Band
    says: str


@dataclass(frozen=True, slots=True)
class Payback:
    """When the system has paid for itself against the water it replaces.

    against : what that water is. years_low, years, years_high : None for never within the life.
    saved_year : paid water that the used rain replaces, a year; running costs not yet taken off.
    """

    against: str
    saved_year: Band
    years_low: float | None
    years: float | None
    years_high: float | None


def other_ways(water: YearlyWater, money: Money, *, load: Band | None) -> tuple[OtherWay, ...]:
    """Every way of which the price is known, and 'do nothing' first.

    load : price of one hauled load; None unknown.
    """
    ways = (*_nothing(money), *_hauled(water, load), *_mains(water, money), *_others(money))
    return tuple(_over_life(way, money) for way in ways)


def _nothing(money: Money) -> Iterator[_Way]:
    if not money.tiers:
        says = "costs nothing and brings nothing: no mains are stated"
        yield "do nothing", flat(0.0), flat(0.0), says


def _hauled(water: YearlyWater, load: Band | None) -> Iterator[_Way]:
    if load is None or not water.load_l:
        return
    loads = water.wanted_l / water.load_l
    says = f"{loads:.0f} loads a year for all that is wanted"
    yield "all hauled", flat(0.0), load.times(loads), says


def _mains(water: YearlyWater, money: Money) -> Iterator[_Way]:
    cost = mains_year(water.wanted_l, money)
    if cost is not None:
        says = "do nothing: all that is wanted by your mains price"
        yield "mains only", flat(0.0), flat(cost), says


def _others(money: Money) -> Iterator[_Way]:
    for one in money.others:
        first = Band(one.first_low, (one.first_low + one.first_high) / 2.0, one.first_high)
        yearly = Band(one.yearly_low, (one.yearly_low + one.yearly_high) / 2.0, one.yearly_high)
        says = "your figures"
        if one.fails_share:
            chance = show(one.fails_share, "share")
            says += f"; {chance} chance that it gives nothing and is paid all the same"
        yield one.name, first, yearly, says


def _over_life(way: tuple[str, Band, Band, str], money: Money) -> OtherWay:
    name, first, yearly, says = way
    paid = (first, *(yearly for _ in range(money.years)))
    present = present_worth(paid, discount=money.discount or 0.0, inflation=money.inflation or 0.0)
    return OtherWay(name, first, yearly, present, says)


def payback(
    life: LifeCycle, water: YearlyWater, *, money: Money, load: Band | None
) -> Payback | None:
    """Years until the replaced water has paid for the system; None where no paid water is replaced.

    Only used rain counts. Best case: low prices of the system against dear water; worst: the other
    way round. Water of the same kind that is still bought would be bought without the system too,
    and counts on neither side; energy, tests and new parts are running costs.
    """
    against, saved = _saved(water, money, load=load)
    if saved is None:
        return None
    still = life.running.mains if against == MAINS else life.running.hauled
    paid = [one.paid - still if one.number else one.paid for one in life.years]
    return Payback(
        against,
        saved,
        _years([one.low for one in paid], saved.high, life=life),
        _years([one.typical for one in paid], saved.typical, life=life),
        _years([one.high for one in paid], saved.low, life=life),
    )


def _saved(water: YearlyWater, money: Money, *, load: Band | None) -> tuple[str, Band | None]:
    """Mains water saved from its dearest step down, or loads not hauled."""
    bought = mains_year(water.make_up_l + water.used_l, money)
    if bought is not None:
        return MAINS, flat(bought - (mains_year(water.make_up_l, money) or 0.0))
    if load is not None and water.load_l:
        return "hauled loads", load.times(water.used_l / water.load_l)
    return "", None


def _years(paid: list[float], saved: float, *, life: LifeCycle) -> float | None:
    """Year in which what was saved first reaches what was paid, part of a year by proportion."""
    ratio = (1.0 + life.inflation) / (1.0 + life.discount)
    behind = paid[0]
    for number, cost in enumerate(paid[1:], 1):
        gain = (saved - cost) * ratio**number
        if gain >= behind:
            return number - 1 + (behind / gain if gain > 0.0 else 0.0)
        behind -= gain
    return None
