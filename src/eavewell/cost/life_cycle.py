"""The money of a whole life, year by year: parts, energy, tests, bought water."""

import math
from dataclasses import dataclass

from eavewell.cost.band import NOTHING, Band, total
from eavewell.cost.priced import Priced, PricedPart
from eavewell.faults import OutOfRange
from eavewell.site.money import Money, Rebate


@dataclass(frozen=True, slots=True)
class Running:
    """Money of one mean year that is not parts."""

    energy: Band
    tests: Band
    hauled: Band
    mains: Band

    @property
    def together(self) -> Band:
        """All of it."""
        return total((self.energy, self.tests, self.hauled, self.mains))


@dataclass(frozen=True, slots=True)
class Year:
    """One year of the life; year 0 is the building. replaced : parts that fall due in it."""

    number: int
    parts: Band
    running: Band
    rebate: float
    replaced: tuple[str, ...]

    @property
    def paid(self) -> Band:
        """What is paid in the year, less the rebate, which never gives more than is paid."""
        paid = self.parts + self.running
        return Band(*(max(sum_ - self.rebate, 0.0) for sum_ in (paid.low, paid.typical, paid.high)))


@dataclass(frozen=True, slots=True)
class LifeCycle:
    """A life of so many years.

    present : all of it in money of the building year. yearly : the even sum a year that is worth
    as much. discount, inflation : 0 where none was asked for.
    """

    years: tuple[Year, ...]
    running: Running
    discount: float
    inflation: float
    rebate: float
    present: Band
    yearly: Band


def life_cycle(priced: Priced, running: Running, *, money: Money, tank_l: float = 0.0) -> LifeCycle:
    """Every year of a system's money.

    tank_l : volume to which a rebate by volume applies.
    """
    rebate = sum(rebate_of(one, tank_l) for one in money.rebates)
    first = Year(0, priced.first, NOTHING, rebate, ())
    later = [
        _year(number, priced, running=running, life=money.years)
        for number in range(1, money.years + 1)
    ]
    years = (first, *later)
    discount, inflation = money.discount or 0.0, money.inflation or 0.0
    present = present_worth(
        tuple(year.paid for year in years), discount=discount, inflation=inflation
    )
    share = yearly_share(money.years, discount)
    return LifeCycle(years, running, discount, inflation, rebate, present, present.times(share))


def rebate_of(rebate: Rebate, tank_l: float) -> float:
    """What a programme gives back for so much tank."""
    given = rebate.amount if rebate.amount is not None else (rebate.per_l or 0.0) * tank_l
    return given if rebate.most is None else min(given, rebate.most)


def _year(number: int, priced: Priced, *, running: Running, life: int) -> Year:
    due = [(row, times) for row in priced.rows if (times := due_in(row, number, life=life))]
    parts = total(row.again.times(times) for row, times in due)
    names = tuple(dict.fromkeys(f"{row.part.part}, {row.part.where}" for row, _ in due))
    return Year(number, parts, running.together, 0.0, names)


def due_in(row: PricedPart, number: int, *, life: int) -> int:
    """How often a part is replaced in the year of that number; never at the end of the life."""
    every = row.life_years
    if every is None or every <= 0.0:
        return 0
    slack = 1e-9
    last = math.ceil(life / every - slack) - 1  # replacements within the life, its end left out
    return min(math.floor(number / every + slack), last) - min(
        math.floor((number - 1) / every + slack), last
    )


def present_worth(paid: tuple[Band, ...], *, discount: float, inflation: float) -> Band:
    """Money of years 0, 1, 2 ... in money of year 0: grown by inflation, shrunk by discount."""
    if discount <= -1.0 or inflation <= -1.0:
        raise OutOfRange("A discount or an inflation takes less than everything a year.")
    ratio = (1.0 + inflation) / (1.0 + discount)
    return total(band.times(ratio**number) for number, band in enumerate(paid))


def yearly_share(years: int, discount: float) -> float:
    """Share of a present sum that an even payment at the end of each year makes up for."""
    if years < 1:
        raise OutOfRange("A life lasts a year at least.")
    if abs(discount) < 1e-12:
        return 1.0 / years
    return discount / (1.0 - (1.0 + discount) ** -years)
