"""What a tank of each size costs; the same for every roof of a use set but for the mains water."""

from dataclasses import dataclass, replace

import numpy as np

from eavewell.cost.band import Band
from eavewell.cost.energy import energy_of
from eavewell.cost.life_cycle import yearly_share
from eavewell.cost.parts import PartsList, by_stand
from eavewell.cost.reckoned import reckon
from eavewell.cost.separable import whole_life
from eavewell.cost.tariff import MONTHS, mains_year
from eavewell.cost.yearly_water import YearlyWater
from eavewell.district.one_roof import site_of_roof
from eavewell.site.district import District, Gauge, OneRoof
from eavewell.site.money import Money, PriceBook
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table

_NOWHERE = Gauge("none", "", 0.0, 0.0)
_NO_WATER = YearlyWater(0.0, 0.0, 0.0, 0.0, 0, None)


@dataclass(frozen=True, slots=True)
class Prices:
    """Money of the tank sizes of one use set, in the order of the sizes.

    first  : to have it. yearly : even sum a year of its whole life, without mains water.
    told   : False where the book prices nothing; then neither means anything.
    assumed: prices that nobody stated, in words.
    """

    first: tuple[Band, ...]
    yearly: tuple[Band, ...]
    told: bool
    money: Money
    assumed: tuple[str, ...]

    def mains(self, make_up_l_year: FloatArray) -> FloatArray:
        """Even sum a year for so much mains water, [...]; nothing where it has no price."""
        money = self.money
        if not money.tiers:
            return np.zeros_like(make_up_l_year)
        # straight between the steps, and beyond the last
        last_l = 1.0 + float(make_up_l_year.max(initial=0.0))
        steps = [MONTHS * tier.up_to_l_month for tier in money.tiers if tier.up_to_l_month]
        at_l = sorted({0.0, *steps, last_l})
        a_year = np.interp(make_up_l_year, at_l, [mains_year(x, money) or 0.0 for x in at_l])
        share = whole_life(money) * yearly_share(money.years, money.discount or 0.0)
        return np.asarray(a_year * share)


def prices_of(district: District, book: PriceBook) -> dict[str, Prices]:
    """The prices of every use set: parts of the tank, their renewal, and tests of the water."""
    return {one.name: _prices(district, one.name, book=book) for one in district.sets}


def _prices(district: District, use_set: str, *, book: PriceBook) -> Prices:
    roof = OneRoof(use_set, next(iter(table("runoff"))))
    dry = replace(district, money=replace(district.money, tiers=()))
    first, yearly, assumed, told = list[Band](), list[Band](), dict[str, None](), False
    for size_l in district.sizes_l:
        site = site_of_roof(dry, _NOWHERE, roof=roof, size_l=size_l)
        parts = PartsList(by_stand(site), ())
        found = reckon(site, parts, book=book, water=_NO_WATER, energy=energy_of(site))
        first.append(found.priced.first)
        yearly.append(found.life.yearly)
        assumed |= dict.fromkeys(found.assumed)
        told = told or bool(found.priced.rows)
    return Prices(tuple(first), tuple(yearly), told, district.money, tuple(assumed))
