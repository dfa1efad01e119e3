"""The log of a site day by day, made of its readings and loads."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadLog
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.kept import DaySums, Kept, Times
from eavewell.logbook.readings.amounts import Amounts, ByDay, gathered, spread, whole
from eavewell.logbook.readings.at_midnight import Held
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.kept_days import sums_of, thinned
from eavewell.logbook.readings.knots import held_at, together
from eavewell.logbook.readings.meters import exchanges, metered
from eavewell.logbook.readings.midnights import days_from, midnights_utc, stamp_of, zone_of
from eavewell.logbook.readings.most_between import COUNTS_UP, most_passes_l_s
from eavewell.logbook.readings.rain_days import Rises, rises, set_on_days
from eavewell.site.entry import Load
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.arrangement import MAINS
from eavewell.tables import table

_HOURS_OF_DAY = 24


@dataclass(frozen=True, slots=True, eq=False)
class _Days:
    """A site's readings by day, and the midnights that part the days, shape (day + 1,)."""

    site: Site
    kept: Kept
    gauges: tuple[Gauge, ...]
    sums: dict[str, DaySums]
    first: date
    midnights: Times

    @property
    def count(self) -> int:
        return self.midnights.size - 1

    def of(self, measures: str, at: str | None = None) -> list[Gauge]:
        """Gauges of a kind that were read; at one place where it is named."""
        return [
            one
            for one in self.gauges
            if one.measures == measures and at in (None, one.of) and self.sums[one.name].dates.size
        ]


def daily_log(
    site: Site, kept: Kept, *, until: datetime, since: datetime | None = None
) -> DailyLog:
    """Daily figures of all that was read before an instant, or between two.

    A tank whose shape is not stated, and a gauge whose zero is not known, stay unknown.
    """
    days = _days(site, kept, since=since, until=until)
    tanks = tuple(tank for tank in site.tanks if not tank.is_sump)
    rain_mm = _rain(days)
    held = [_held(days, tank, dry=rain_mm == 0.0) for tank in tanks]
    hauled_l = _hauled(days, tanks, until=until)
    risen = rises(tanks, held, hauled_l=hauled_l)
    meters = days.of("meter")
    counted = [_metered(days, one) for one in meters]
    return DailyLog(
        dates=days_from(days.first, days.count),
        tanks=tuple(tank.name for tank in tanks),
        held_l=_columns((one.held_l for one in held), days=days.count),
        held_sd_l=_columns((one.sd_l for one in held), days=days.count),
        read=_read(days),
        meters=tuple(one.name for one in meters),
        metered_l=_columns((one.amount for one in counted), days=days.count),
        spread_days=_columns((one.spread_days for one in counted), days=days.count),
        make_up_l=_make_up(days),
        hauled_l=hauled_l,
        rain_mm=_rain(days, risen),
        spans_dst=np.diff(days.midnights) != np.timedelta64(_HOURS_OF_DAY, "h"),
    )


def _days(site: Site, kept: Kept, *, since: datetime | None, until: datetime) -> _Days:
    gauges, zone = gauges_of(site), site.log.zone
    # what was read shortly before tells the first midnights
    reach = timedelta(days=table("log_figures")["longest_gap"].value)
    early = None if since is None else since - reach
    sums = {
        one.name: sums_of(kept, one.name, zone=zone, since=early, until=until) for one in gauges
    }
    read = [one.dates for one in sums.values() if one.dates.size]
    if not read:
        first = (since or until).astimezone(zone_of(zone)).date()
        return _Days(site, kept, gauges, sums, first, midnights_utc(first, 0, zone=zone))
    first, last = min(one[0] for one in read).item(), max(one[-1] for one in read).item()
    if since is not None:
        first = max(first, since.astimezone(zone_of(zone)).date())
    count = max((last - first).days + 1, 0)
    return _Days(site, kept, gauges, sums, first, midnights_utc(first, count, zone=zone))


def _held(days: _Days, tank: Tank, *, dry: NDArray[np.bool_]) -> Held:
    nothing = np.full(days.count, np.nan)
    parts = []
    for gauge in days.of("level", tank.name):
        try:
            parts.append(
                held_at(
                    days.midnights,
                    gauge,
                    tank=tank,
                    sums=days.sums[gauge.name],
                    dry=dry,
                    air=days.sums.get(gauge.air_gauge),
                )
            )
        except BadLog:
            continue
    return together(parts) if parts else Held(nothing, nothing, nothing)


def _read(days: _Days) -> NDArray[np.bool_]:
    read = np.zeros(days.count, dtype=bool)
    for gauge in days.of("level"):
        row = (days.sums[gauge.name].dates - np.datetime64(days.first, "D")).astype(int)
        read[row[(row >= 0) & (row < days.count)]] = True
    return read


def _metered(days: _Days, gauge: Gauge) -> ByDay:
    taken = thinned(days.kept, gauge.name, sums=days.sums[gauge.name])
    most = most_passes_l_s(days.site, gauge)
    found = metered(taken, gauge, changed=exchanges(days.kept, gauge), most_l_s=most)
    amounts = Amounts(found.began_utc, found.ended_utc, found.litres)
    return spread(amounts, days.midnights, by_household=gauge.measures == "meter")


def _make_up(days: _Days) -> FloatArray:
    """By its meters; nothing where no make-up is built, unknown where none of it is metered."""
    parts = [_metered(days, one).amount for one in days.of("make-up")]
    if parts:
        return np.asarray(np.sum(parts, axis=0))
    built = any(lift.source == MAINS for lift in days.site.lifts)
    return np.full(days.count, np.nan if built else 0.0)


def _hauled(days: _Days, tanks: tuple[Tank, ...], *, until: datetime) -> FloatArray:
    brought = np.zeros((days.count, len(tanks)))
    column = {tank.name: k for k, tank in enumerate(tanks)}
    for _, load in days.kept.entries("load", until=until):
        if not isinstance(load, Load) or load.came is None or load.to not in column:
            continue
        at = stamp_of(load.came)
        day = int(np.searchsorted(days.midnights, at, side="right")) - 1
        if 0 <= day < days.count:
            brought[day, column[load.to]] += load.volume_l
    return brought


def _rain(days: _Days, risen: Rises | None = None) -> FloatArray:
    """By the first of the rain gauges that knows the day; of a long time, by the tanks' rise."""
    rain = np.full(days.count, np.nan)
    for gauge in days.of("rain"):
        if gauge.how in COUNTS_UP:
            found = _metered(days, gauge).amount
        else:
            found = _emptied(days, gauge, risen=risen)
        rain = np.where(np.isnan(rain), found, rain)
    return rain


def _emptied(days: _Days, gauge: Gauge, *, risen: Rises | None) -> FloatArray:
    """Rain by a gauge that is emptied when it is read."""
    amounts = gathered(days.sums[gauge.name])
    found = whole(amounts, days.midnights).amount
    if risen is None:
        return found
    return set_on_days(found, amounts, midnights=days.midnights, site=days.site, risen=risen)


def _columns(parts: Iterable[FloatArray], *, days: int) -> FloatArray:
    listed = list(parts)
    return np.stack(listed, axis=1) if listed else np.zeros((days, 0))
