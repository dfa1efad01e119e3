"""The last level of each tank, and what it held a day and a week before."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import numpy as np

from eavewell.faults import BadLog
from eavewell.logbook.kept import DaySums, Kept, Times
from eavewell.logbook.readings.gauged import levels, noise_m, strapping
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.kept_days import sums_of
from eavewell.logbook.readings.knots import knots_of
from eavewell.logbook.readings.midnights import zone_of
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import table

LATELY = timedelta(days=45)
NOON = 12
MS_OF_DAY = 86_400_000.0


@dataclass(frozen=True, slots=True)
class Latest:
    """One tank at its last reading.

    at : the instant, in the site's own time zone. held_l : above the dead storage, sd_l its
    standard error. day_before_l, week_before_l : so long before; None where not known.
    """

    tank: str
    at: datetime
    held_l: float
    sd_l: float
    day_before_l: float | None
    week_before_l: float | None

    @property
    def stood_on(self) -> date:
        """The day in whose morning it stood: a reading of the afternoon tells of the next one."""
        day = self.at.date()
        return day if self.at.hour < NOON else day + timedelta(days=1)


def latest_levels(site: Site, kept: Kept, *, until: datetime) -> tuple[Latest, ...]:
    """The tanks whose level was ever read before an instant, in the site's order.

    A tank whose shape or gauge is not known well enough for a volume is left out.
    """
    log = _Log(site, kept, until)
    found = (_latest(log, tank) for tank in site.tanks if not tank.is_sump)
    return tuple(one for one in found if one is not None)


@dataclass(frozen=True, slots=True, eq=False)
class _Log:
    """A site's log up to an instant."""

    site: Site
    kept: Kept
    until: datetime

    def lately(self, gauge: str) -> DaySums:
        """Of the last weeks; of all time where nothing was read in them."""
        zone = self.site.log.zone
        since = self.until - LATELY
        near = sums_of(self.kept, gauge, zone=zone, since=since, until=self.until)
        if near.dates.size:
            return near
        return sums_of(self.kept, gauge, zone=zone, since=None, until=self.until)


@dataclass(frozen=True, slots=True, eq=False)
class _Read:
    """What one gauge read of a tank, in order: water above the dead storage, its error."""

    at_utc: Times
    held_l: FloatArray
    sd_l: FloatArray

    def before_l(self, days: int) -> float | None:
        """On the line between two readings so long before the last; None where they lie apart.

        Of a week's change no seventh is told as that of a day.
        """
        x = self.at_utc.astype(np.int64) / MS_OF_DAY
        asked = x[-1] - days
        after = int(np.searchsorted(x, asked))
        apart = min(_longest_gap(), 2.0 * days)
        if x[after] != asked and (after == 0 or x[after] - x[after - 1] > apart):
            return None
        return float(np.interp(asked, x, self.held_l))


def _longest_gap() -> float:
    return table("log_figures")["longest_gap"].value


def _latest(log: _Log, tank: Tank) -> Latest | None:
    """By the gauge that was read last."""
    gauges = (one for one in gauges_of(log.site) if (one.measures, one.of) == ("level", tank.name))
    read = [found for one in gauges if (found := _read(log, one, tank=tank)) is not None]
    if not read:
        return None
    last = max(read, key=lambda one: one.at_utc[-1])
    at: datetime = last.at_utc[-1].astype("datetime64[us]").astype(object)
    return Latest(
        tank.name,
        at.replace(tzinfo=UTC).astimezone(zone_of(log.site.log.zone)),
        held_l=float(last.held_l[-1]),
        sd_l=float(last.sd_l[-1]),
        day_before_l=last.before_l(1),
        week_before_l=last.before_l(7),
    )


def _read(log: _Log, gauge: Gauge, *, tank: Tank) -> _Read | None:
    """What is within the gauge's limits and the tank; None where it tells no volume."""
    knots = knots_of(log.lately(gauge.name))
    try:
        strapped, noise = strapping(tank), noise_m(gauge)
        level_m = levels(gauge, knots.said, air_c=_air_c(log, gauge, at_utc=knots.at_utc)).level_m
    except BadLog:
        return None
    out_m = table("log_figures")["outside"].value * noise
    good = (level_m >= -out_m) & (level_m <= strapped.depths_m[-1] + out_m)
    good &= knots.said >= (-np.inf if gauge.least is None else gauge.least)
    good &= knots.said <= (np.inf if gauge.most is None else gauge.most)
    if not good.any():
        return None
    sd_l = noise / np.sqrt(knots.count) * strapped.l_per_m(level_m, over_m=2.0 * noise)
    return _Read(knots.at_utc[good], strapped.held_l(level_m)[good], sd_l[good])


def _air_c(log: _Log, gauge: Gauge, *, at_utc: Times) -> FloatArray | None:
    """Air above the water by its own gauge at these instants, unknown a day away from it."""
    air = knots_of(log.lately(gauge.air_gauge)) if gauge.air_gauge else None
    if air is None or not air.at_utc.size:
        return None
    x, known = (at.astype(np.int64) / MS_OF_DAY for at in (at_utc, air.at_utc))
    far = np.abs(known[None, :] - x[:, None]).min(axis=1) > 1.0
    return np.where(far, np.nan, np.interp(x, known, air.said))
