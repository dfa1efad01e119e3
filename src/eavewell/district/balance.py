"""Roofs of one gauge through its whole record, every roof at every size side by side."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.district.ready import Ready
from eavewell.district.roof_rows import Roofs
from eavewell.site.district import District
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.arrangement import Lanes, arrange
from eavewell.storage.balance import Balance
from eavewell.storage.goals import all_reached
from eavewell.storage.in_service import run_in_service
from eavewell.storage.reliability import YEAR_DAYS
from eavewell.storage.series import uses_in_order

MOST_LANES = 16_384


@dataclass(frozen=True, slots=True, eq=False)
class Screened:
    """What each roof would be at each size, every array of shape (roof, size).

    supplied_share, days_met_share : volume and time reliability of all uses together.
    dry_days   : in the worst spell of any one use.
    reaches    : every goal of its use set.
    Litres are those of a mean year: supplied, spilled by the overflow, kept (came off the roof and
    did not spill), made up by the mains.
    inflow_l_year, wanted_l_year : the same at every size.
    """

    supplied_share: FloatArray
    days_met_share: FloatArray
    dry_days: NDArray[np.int32]
    reaches: NDArray[np.bool_]
    supplied_l_year: FloatArray
    spilled_l_year: FloatArray
    kept_l_year: FloatArray
    make_up_l_year: FloatArray
    inflow_l_year: FloatArray
    wanted_l_year: FloatArray


def screen(ready: Ready, roofs: Roofs, *, threads: int | None = None) -> Screened:
    """Run roofs of one gauge through its record.

    threads : cores for the balance; None takes all.
    """
    sizes = len(ready.district.sizes_l)
    whole = _nothing(roofs.count, sizes)
    kinds = sorted(set(zip(roofs.use_set.tolist(), roofs.finish.tolist(), strict=True)))
    for use_set, finish in kinds:
        same = np.flatnonzero((roofs.use_set == use_set) & (roofs.finish == finish))
        for rows in _together(same, sizes):
            found = _alike(ready, roofs.at(rows), use_set=use_set, finish=finish, threads=threads)
            for name in Screened.__slots__:
                getattr(whole, name)[rows] = getattr(found, name)
    return whole


def _nothing(roofs: int, sizes: int) -> Screened:
    kinds = {"dry_days": np.int32, "reaches": np.bool_}
    return Screened(
        *(np.zeros((roofs, sizes), dtype=kinds.get(name, float)) for name in Screened.__slots__)
    )


def _together(rows: NDArray[np.int64], sizes: int) -> list[NDArray[np.int64]]:
    """So many roofs at once that memory stays flat."""
    step = max(1, MOST_LANES // sizes)
    return [rows[at : at + step] for at in range(0, rows.size, step)]


def _alike(
    ready: Ready, roofs: Roofs, *, use_set: str, finish: str, threads: int | None
) -> Screened:
    """Roofs of one finish and one use set: one arrangement, a lane for each roof and size."""
    site, water = ready.site(use_set, finish), ready.water(use_set, finish)
    lanes = lanes_of(ready.district, site, roofs=roofs)
    found = run_in_service(site, arrange(site, water, lanes=lanes), threads=threads)
    return _figures(ready, use_set, site=site, found=found)


def lanes_of(district: District, site: Site, *, roofs: Roofs) -> Lanes:
    """A lane for each roof and size, the sizes of one roof side by side."""
    sizes = np.array(district.sizes_l)
    each = district.use_set(str(roofs.use_set[0])).each
    people = np.repeat(roofs.people, sizes.size)
    scale = [people if use.name in each else np.ones_like(people) for use in uses_in_order(site)]
    usable = np.tile(sizes, roofs.count)[None, :]
    area = np.repeat(roofs.area_m2, sizes.size)[None, :]
    return Lanes(usable, np.zeros_like(usable), area, np.stack(scale))


def _figures(ready: Ready, use_set: str, *, site: Site, found: Balance) -> Screened:
    years, sums, sizes = found.days / YEAR_DAYS, found.sums, len(ready.district.sizes_l)

    def square(column: FloatArray) -> FloatArray:
        return column.reshape(-1, sizes)

    return Screened(
        supplied_share=square(found.supplied_share),
        days_met_share=square(found.met_share),
        dry_days=sums.longest_short_days.max(axis=0).astype(np.int32).reshape(-1, sizes),
        reaches=all_reached(site, found).reshape(-1, sizes),
        supplied_l_year=square(sums.supplied_l.sum(axis=0) / years),
        spilled_l_year=square(found.away_l / years),
        kept_l_year=square((found.inflow_l - found.away_l) / years),
        make_up_l_year=square(_make_up(ready, use_set, site=site, found=found) / years),
        inflow_l_year=square(found.inflow_l / years),
        wanted_l_year=square(found.wanted_l.sum(axis=0) / years),
    )


def _make_up(ready: Ready, use_set: str, *, site: Site, found: Balance) -> FloatArray:
    """Mains water of all uses, [lane]: as the balance counted it, or as what a use went short."""
    asked = ready.district.use_set(use_set).uses[0].fallback
    if site.uses[0].fallback == asked:
        counted: FloatArray = found.sums.make_up_l.sum(axis=0)
        return counted
    short = (found.wanted_l - found.sums.supplied_l)[0]
    return np.where(found.sums.short_days[0] > 0.0, np.maximum(short, 0.0), 0.0)
