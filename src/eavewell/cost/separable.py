"""The price of many choices as a sum: the site as it stands, and what each change adds to it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from eavewell.cost.band import NOTHING, Band
from eavewell.cost.energy import Energy
from eavewell.cost.part_rows import row
from eavewell.cost.parts import PartsList, by_stand
from eavewell.cost.reckoned import Reckoned, reckon
from eavewell.cost.tariff import mains_year
from eavewell.cost.yearly_water import YearlyWater
from eavewell.site.money import Money, PriceBook
from eavewell.site.part import Part
from eavewell.site.site import Site
from eavewell.site.weighing import Choice
from eavewell.storage.rebuilt import as_it_stands, household_only, rebuilt

_FIXTURES = ("toilet", "shower", "tub and shower", "lavatory", "kitchen sink", "clothes washer")


@dataclass(frozen=True, slots=True)
class Pricing:
    """What every choice is priced with.

    tank : the store that is varied. energy, l_day : of the site as it stands; l_day is line ->
    litres of a mean day through it.
    """

    tank: str
    book: PriceBook
    energy: Energy
    l_day: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Worth:
    """Money of one way to build a site: to have it, and for its whole life without bought water."""

    first: Band
    life: Band

    def __sub__(self, other: "Worth") -> "Worth":
        return Worth(self.first - other.first, self.life - other.life)

    def __add__(self, other: "Worth") -> "Worth":
        return Worth(self.first + other.first, self.life + other.life)


@dataclass(frozen=True, slots=True)
class Separable:
    """A price that is a sum of its changes; what they do to each other is left to the full one.

    tanks, roofs : what each adds. fixtures : what better ones add. load : price of one load.
    """

    base: Worth
    tanks: Mapping[tuple[int, float], Worth]
    roofs: Mapping[float, Worth]
    fixtures: Worth
    load: Band
    money: Money

    def worth(self, choice: Choice) -> Worth:
        """The price of a choice, its bought water left out."""
        found = self.base + self.tanks[choice.count, choice.each_l] + self.roofs[choice.roof_m2]
        return found + self.fixtures if choice.fixtures < 1.0 else found

    def bought(self, loads: float, make_up_l: float) -> Band:
        """Loads and mains water of every year of the life, from those of a mean year."""
        mains = mains_year(make_up_l, self.money)
        yearly = self.load.times(loads) + Band(*(3 * [mains or 0.0]))
        return yearly.times(whole_life(self.money))


def whole_life(money: Money) -> float:
    """An even yearly sum over the whole life, in money of the building year."""
    ratio = (1.0 + (money.inflation or 0.0)) / (1.0 + (money.discount or 0.0))
    return float(np.sum(ratio ** np.arange(1, money.years + 1)))


def separable(site: Site, choices: Iterable[Choice], *, pricing: Pricing) -> Separable:
    """Price every tank and every roof of the choices once."""
    present, listed = as_it_stands(site, pricing.tank), tuple(choices)
    # the fixed sum of the mains is bought water, and `bought` counts it
    dry = replace(site, money=replace(site.money, tiers=()))

    def worth(choice: Choice) -> Worth:
        return worth_of(dry, choice, pricing=pricing, water=_DRY)

    base = worth(present)
    tanks = {(one.count, one.each_l) for one in listed}
    load = _reckon(site, (), pricing=pricing, water=replace(_DRY, load_l=1.0)).load
    return Separable(
        base=base,
        tanks={key: worth(replace(present, count=key[0], each_l=key[1])) - base for key in tanks},
        roofs={
            area: worth(replace(present, roof_m2=area)) - base
            for area in {one.roof_m2 for one in listed}
        },
        fixtures=worth(replace(present, fixtures=0.0)) - base,
        load=load or NOTHING,
        money=site.money,
    )


_DRY = YearlyWater(0.0, 0.0, 0.0, 0.0, 0, None)


def fixtures_of(site: Site) -> int:
    """Fixtures that better ones can replace: those on lines that serve a household."""
    house = household_only(site)
    stores = {name for use in site.uses if use.name in house for name in use.draws_from}
    return sum(
        outlet.count
        for line in site.lines
        if line.source in stores
        for outlet in line.outlets
        if outlet.fixture in _FIXTURES
    )


def better_fixtures(site: Site) -> tuple[Part, ...]:
    """Better ones in place of every fixture that they can replace."""
    count = fixtures_of(site)
    return (row("better fixture", count, where="the house"),) if count else ()


def worth_of(site: Site, choice: Choice, *, pricing: Pricing, water: YearlyWater) -> Worth:
    """Everything of one choice taken off and reckoned together.

    A tank that is there costs nothing as long as it stays: in place of it another size is bought
    whole, beside it more of the same are bought alone.
    """
    tank = pricing.tank
    built, present = rebuilt(site, choice, tank=tank), as_it_stands(site, tank)
    parts = by_stand(built)
    if choice.fixtures < 1.0:
        parts = (*parts, *better_fixtures(site))
    changed = (choice.count, choice.each_l) != (present.count, present.each_l)
    if not changed or not _there(site, tank):
        found = _reckon(built, parts, pricing=pricing, water=water)
        return Worth(found.priced.first, found.life.present)
    found = _reckon(_without(built, tank), parts, pricing=pricing, water=water)
    whole = Worth(found.priced.first, found.life.present)
    more = choice.each_l == present.each_l and choice.count > present.count
    return whole - _kept(site, pricing) if more else whole


def _reckon(
    site: Site, parts: tuple[Part, ...], *, pricing: Pricing, water: YearlyWater
) -> Reckoned:
    """Money alone; no order is drawn up."""
    return reckon(
        site,
        PartsList(parts, ()),
        book=pricing.book,
        water=water,
        energy=pricing.energy,
        l_day=pricing.l_day,
    )


def _kept(site: Site, pricing: Pricing) -> Worth:
    """What the present tanks would cost if they were not there."""
    parts = by_stand(site)
    new, there = (
        _reckon(one, parts, pricing=pricing, water=_DRY)
        for one in (_without(site, pricing.tank), site)
    )
    first = new.priced.first - there.priced.first
    return Worth(first, first)


def _there(site: Site, tank: str) -> bool:
    return any(name in site.money.have for name in _names(tank))


def _without(site: Site, tank: str) -> Site:
    """The site with its tank not there."""
    have = tuple(name for name in site.money.have if name not in _names(tank))
    return replace(site, money=replace(site.money, have=have))


def _names(tank: str) -> tuple[str, str]:
    return "tank", f"tank {tank!r}"
