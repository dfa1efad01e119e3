"""What the tanks give in the month that asks most of them, by one mean roof of each kind."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from eavewell.answers.months import MONTH_DAYS
from eavewell.district.parts_of_work import Part
from eavewell.district.ready import Ready, ready
from eavewell.district.roof_rows import Roofs
from eavewell.faults import EavewellFault
from eavewell.site.district import District, Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.storage.arrangement import Lanes, arrange
from eavewell.storage.in_service import run_in_service
from eavewell.storage.reliability import Shortfall, month_rows, shortfalls
from eavewell.storage.series import uses_in_order
from eavewell.tables import table

# days on which the tanks give at least what is told, of all days of the peak month
SURE = 0.9
# records with most roofs that it is reckoned by, and carried to the others
MOST_RECORDS = 60


@dataclass(frozen=True, slots=True)
class Spell:
    """The longest run of short days on one record, of the mean roof of its most usual use set.

    first, last : its days as ISO dates. roofs : whose mean it is.
    """

    record: str
    roofs: int
    first: str
    last: str
    short_days: int


@dataclass(frozen=True, slots=True)
class Peak:
    """The month that asks most of all roofs together, in a mean year of the record.

    month : 1 to 12, that of most use. alike : the same is wanted in every month, and it is the
    one in which the tanks give least of it. wanted_l, supplied_l : in that month. sure_l_day : the
    tanks of all roofs together give at least so much on nine of ten of its days. records, of :
    records it is reckoned by, and all of them. spells : of each of these records that has one.
    """

    month: int
    alike: bool
    wanted_l: float
    supplied_l: float
    sure_l_day: float
    records: int
    of: int
    spells: tuple[Spell, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Kind:
    """Roofs of one gauge and use set, as their mean roof, and how many they are."""

    gauge: Gauge
    roof: Roofs
    count: int


@dataclass(frozen=True, slots=True, eq=False)
class _Days:
    """Litres of all roofs of a kind, [day], the month of each day from 0, and the longest run."""

    month: NDArray[np.int64]
    wanted_l: FloatArray
    supplied_l: FloatArray
    longest: Shortfall | None


def peak_of(district: District, parts: Sequence[Part], *, size_l: float) -> Peak | None:
    """The peak month by mean roofs; None where no record can be used.

    Roofs of one gauge and use set are run as one of their mean area and people and their most
    common finish, and counted as many times; records with few roofs are left to the others.
    """
    kinds = list(_kinds(parts))
    ran = [(kind, _run(district, kind, size_l=size_l)) for kind in kinds]
    found = [one for _, one in ran if one is not None]
    if not found:
        return None
    roofs = sum(kind.count for kind, one in ran if one is not None)
    times = sum(part.roofs.count for part in parts) / roofs
    wanted = np.sum([_mean_months(one.month, one.wanted_l) for one in found], axis=0)
    supplied = np.sum([_mean_months(one.month, one.supplied_l) for one in found], axis=0)
    lengths = np.array(MONTH_DAYS)
    most = table("district")["alike months"].value
    alike = bool(np.ptp(wanted) <= most * wanted.max())
    share = supplied / np.maximum(wanted, 1e-9)
    month = int(np.argmin(share) if alike else np.argmax(wanted * lengths))
    sure = sum(float(np.quantile(one.supplied_l[one.month == month], 1.0 - SURE)) for one in found)
    return Peak(
        month + 1,
        alike,
        float(wanted[month] * lengths[month]) * times,
        float(supplied[month] * lengths[month]) * times,
        sure * times,
        len({kind.gauge for kind, one in ran if one is not None}),
        len({part.gauge for part in parts}),
        tuple(_spells(ran)),
    )


def _spells(ran: Sequence[tuple[_Kind, _Days | None]]) -> Iterator[Spell]:
    """By the kind of most roofs of each record."""
    most = dict[Gauge, tuple[_Kind, _Days]]()
    for kind, days in ran:
        before = most.get(kind.gauge)
        if days is not None and (before is None or kind.count > before[0].count):
            most[kind.gauge] = kind, days
    for gauge, (kind, days) in most.items():
        if (run := days.longest) is not None:
            first, last = run.first.isoformat(), run.last.isoformat()
            yield Spell(gauge.name, kind.count, first, last, run.short_days)


def _mean_months(month: NDArray[np.int64], daily_l: FloatArray) -> FloatArray:
    """Litres of a mean day of each month of the year, [month]."""
    days = np.maximum(np.bincount(month, minlength=12), 1)
    mean: FloatArray = np.bincount(month, weights=daily_l, minlength=12) / days
    return mean


def _kinds(parts: Sequence[Part]) -> Iterator[_Kind]:
    by_gauge = dict[Gauge, list[Roofs]]()
    for part in parts:
        by_gauge.setdefault(part.gauge, []).append(part.roofs)
    most = sorted(by_gauge, key=lambda one: -sum(roofs.count for roofs in by_gauge[one]))
    for gauge in most[:MOST_RECORDS]:
        blocks = by_gauge[gauge]
        roofs = Roofs(
            *(np.concatenate([getattr(one, name) for one in blocks]) for name in Roofs.__slots__)
        )
        for use_set in sorted(set(roofs.use_set.tolist())):
            mine = roofs.at(roofs.use_set == use_set)
            yield _Kind(gauge, _mean_roof(mine), mine.count)


def _mean_roof(roofs: Roofs) -> Roofs:
    names, counts = np.unique(roofs.finish.astype(str), return_counts=True)
    usual = np.array([str(names[counts.argmax()])], dtype=object)
    one = roofs.at(slice(0, 1))
    return replace(
        one,
        finish=usual,
        area_m2=np.array([roofs.area_m2.mean()]),
        people=np.array([roofs.people.mean()]),
    )


def _run(district: District, kind: _Kind, *, size_l: float) -> _Days | None:
    try:
        days = ready(district, kind.gauge)
    except EavewellFault:
        return None
    return _run_days(days, kind, size_l=size_l)


def _run_days(days: Ready, kind: _Kind, *, size_l: float) -> _Days:
    roof = kind.roof
    use_set, finish = str(roof.use_set[0]), str(roof.finish[0])
    site, water = days.site(use_set, finish), days.water(use_set, finish)
    each = days.district.use_set(use_set).each
    scale = [roof.people if use.name in each else np.ones(1) for use in uses_in_order(site)]
    usable = np.array([[size_l]])
    lanes = Lanes(usable, np.zeros_like(usable), roof.area_m2[None, :], np.stack(scale))
    found = run_in_service(site, arrange(site, water, lanes=lanes), keep_lane=0, threads=1)
    every = found.every_day
    assert every is not None
    demand = water.demand_l * np.concatenate(scale)[None, :]
    missing = every.planned_l - every.supplied_l
    runs = (
        run
        for u in range(demand.shape[1])
        for run in shortfalls(demand[:, u], missing[:, u], dates=water.dates)
    )
    return _Days(
        month_rows(water.dates),
        demand.sum(axis=1) * kind.count,
        every.supplied_l.sum(axis=1) * kind.count,
        max(runs, key=lambda run: run.short_days, default=None),
    )
