"""What a district's tanks cost for the water they give, beside other ways to the same water."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from eavewell.cost.band import Band, total
from eavewell.cost.life_cycle import yearly_share
from eavewell.cost.other_ways import other_ways
from eavewell.cost.yearly_water import YearlyWater
from eavewell.district.prices import Prices
from eavewell.district.rolled_up import AtSize
from eavewell.site.district import District

Plain = dict[str, Any]
TANK = "the tank, mains beside it"


def costs(district: District, at: AtSize, *, prices: Mapping[str, Prices]) -> Plain | None:
    """Money of all tanks of a group at one size; None where nothing is priced.

    first : to have them. yearly : even sum a year of their whole life, without mains water.
    per_m3 : that sum for each m3 that they give; None where they give none.
    """
    if not all(prices[name].told for name in at.use_sets):
        return None
    size = district.sizes_l.index(at.size_l)
    first = total(prices[name].first[size].times(count) for name, count in at.use_sets.items())
    yearly = total(prices[name].yearly[size].times(count) for name, count in at.use_sets.items())
    m3 = (at.sums["supplied_l_year"] or 0.0) / 1000.0
    each = plain(yearly.times(1.0 / m3)) if m3 else None
    return {"first": plain(first), "yearly": plain(yearly), "per_m3": each}


def plain(band: Band) -> Plain:
    """A band as plain data."""
    return {"low": band.low, "typical": band.typical, "high": band.high}


def ways(district: District, groups: Sequence[tuple[str, AtSize]]) -> list[Plain]:
    """A mean roof of each group by a tank and by every other way of which the price is given.

    yearly : even sum a year over the same years, money to have it in it.
    """
    return [row for name, at in groups for row in _ways(district, name, at=at)]


def _ways(district: District, name: str, *, at: AtSize) -> Iterator[Plain]:
    money = district.money
    found = other_ways(_mean_roof(at), money, load=None)
    share = yearly_share(money.years, money.discount or 0.0)
    if not money.tiers and not money.others:
        return
    first, yearly = (_mean_band(at, what) for what in ("first_cost", "yearly_cost"))
    if first is not None and yearly is not None:
        yield {"group": name, "way": TANK, "first": first, "yearly": yearly, "says": ""}
    for way in found:
        yield {
            "group": name,
            "way": way.name,
            "first": plain(way.first),
            "yearly": plain(way.present.times(share)),
            "says": way.says,
        }


def _mean_roof(at: AtSize) -> YearlyWater:
    """Litres of a mean year of a mean roof."""
    wanted, used, mains = (
        (at.sums[name] or 0.0) / at.roofs
        for name in ("wanted_l_year", "supplied_l_year", "make_up_l_year")
    )
    return YearlyWater(wanted, used, mains, 0.0, 0, None)


def _mean_band(at: AtSize, what: str) -> Plain | None:
    ends = {
        "low": at.sums[f"{what}_low"],
        "typical": at.sums[what],
        "high": at.sums[f"{what}_high"],
    }
    if any(value is None for value in ends.values()):
        return None
    return {end: (value or 0.0) / at.roofs for end, value in ends.items()}
