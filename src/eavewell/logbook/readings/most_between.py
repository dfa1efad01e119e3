"""The most a tank can gain and lose between two readings."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.kept import Kept, ManyReadings, Times
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.midnights import instant_of, stamp_of
from eavewell.site.entry import Load
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import table
from eavewell.weather.greatest_rain import greatest_rain_mm_paulhus

_MS_OF_MINUTE, _MS_OF_HOUR = 60_000.0, 3_600_000.0
_MINUTES_OF_DAY = 1440.0
_LONGEST_MINUTES = 2 * 366 * _MINUTES_OF_DAY
_AROUND = timedelta(days=3)


@dataclass(frozen=True, slots=True, eq=False)
class Around:
    """What is known beside the readings: the site, the log, rain gauges read at the same time."""

    site: Site
    kept: Kept | None = None
    rain: tuple[ManyReadings, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Most:
    """The most a tank may gain and lose between readings, shape (reading - 1,)."""

    fill_l: FloatArray
    fall_l: FloatArray


def most_between(around: Around, tank: Tank, *, at: Times, held_l: FloatArray) -> Most:
    """Roof area x rain with loads and make-up; pumps with what stands above the overflow.

    at : instants of the readings, datetime64[ms]. held_l : above the dead storage at the first
    of each two. Rain is what the site's own gauge measured with an allowance, else the greatest
    believed.
    """
    site, minutes = around.site, np.diff(at).astype(np.int64) / _MS_OF_MINUTE
    roofs_m2 = sum(
        roof.plan_area_m2 for roof in site.roofs if tank.name in site.fed_from(roof.drains_to)
    )
    rain_mm = _rain_mm(around, at)
    rain_mm = np.where(np.isnan(rain_mm), greatest_mm(minutes), rain_mm)
    fill_l = (roofs_m2 + tank.open_area_m2) * rain_mm + _loads_l(around, tank, at=at)
    flow_l_s = table("log_figures")["meter_most"].value
    if roofs_m2 == 0.0 or any(lift.target == tank.name for lift in site.lifts):
        fill_l = fill_l + flow_l_s * 60.0 * minutes
    draws_l_s = sum(_most_l_s(site, tank)) or flow_l_s
    above_l = np.maximum(held_l - tank.usable_l, 0.0)
    return Most(fill_l, draws_l_s * 60.0 * minutes + above_l)


def greatest_mm(minutes: FloatArray) -> FloatArray:
    """The most rain that may fall: as any gauge has seen, and no more in a day than is believed."""
    within = np.clip(minutes, 1.0, _LONGEST_MINUTES)
    # a power of the time: a straight line between the logarithms of its ends
    ends = np.array([1.0, _LONGEST_MINUTES])
    seen = np.array([greatest_rain_mm_paulhus(end) for end in ends])
    most = np.exp(np.interp(np.log(within), np.log(ends), np.log(seen)))
    days = np.ceil(np.maximum(within / _MINUTES_OF_DAY, 1.0))
    return np.asarray(np.minimum(most, table("rain_limits")["suspicious_day"].value * days))


def _rain_mm(around: Around, at: Times) -> FloatArray:
    """The most that own gauges let fall between readings; nan where none was read about then."""
    most = np.full(at.size - 1, np.nan)
    for gauge in gauges_of(around.site):
        if gauge.measures != "rain":
            continue
        x, fallen = _fallen_mm(around, gauge.name, counts=gauge.how in COUNTS_UP, at=at)
        if x.size > 1:
            most = np.fmax(most, _within(x, fallen, at=at))
    figures = table("log_figures")
    return most * figures["under_catch"].value + figures["rain_unseen"].value


COUNTS_UP = ("pulse counter", "register")


def _fallen_mm(
    around: Around, name: str, *, counts: bool, at: Times
) -> tuple[NDArray[np.int64], FloatArray]:
    """Instants of a rain gauge and what fell until then from its first reading on."""
    stamps = [one.at_utc for one in around.rain if one.gauge == name]
    values = [one.value for one in around.rain if one.gauge == name]
    if around.kept is not None:
        since, until = instant_of(at[0]) - _AROUND, instant_of(at[-1]) + _AROUND
        taken = around.kept.readings(name, since, until=until)
        stamps.append(taken.at_utc)
        values.append(taken.value)
    if not stamps:
        return np.array([], dtype=np.int64), np.array([])
    x, rows = np.unique(np.concatenate(stamps).astype(np.int64), return_index=True)
    value = np.concatenate(values)[rows]
    steps = np.diff(value, prepend=value[:1]) if counts else value
    return x, np.cumsum(np.maximum(steps, 0.0))


def _within(x: NDArray[np.int64], fallen: FloatArray, *, at: Times) -> FloatArray:
    """From the last rain reading before an interval to the first after it, if both are near."""
    begun, ended = at[:-1].astype(np.int64), at[1:].astype(np.int64)
    before = np.searchsorted(x, begun, side="right") - 1
    after = np.searchsorted(x, ended, side="left")
    a, b = np.maximum(before, 0), np.minimum(after, x.size - 1)
    near = table("log_figures")["rain_gap"].value * _MS_OF_HOUR
    known = (before >= 0) & (after < x.size) & (begun - x[a] <= near) & (x[b] - ended <= near)
    return np.where(known, fallen[b] - fallen[a], np.nan)


def _loads_l(around: Around, tank: Tank, *, at: Times) -> FloatArray:
    """Loads that the log knows between readings, and one of each that is planned."""
    brought = np.zeros(at.size - 1)
    for _, load in around.kept.entries("load") if around.kept is not None else ():
        if isinstance(load, Load) and load.to == tank.name and load.came is not None:
            when = stamp_of(load.came)
            k = int(np.searchsorted(at, when)) - 1
            if 0 <= k < brought.size:
                brought[k] += load.volume_l
    return brought + sum(one.load_l for one in around.site.hauling if one.to == tank.name)


def _most_l_s(site: Site, tank: Tank) -> Iterable[float]:
    """The most each line and lift draws: the end of its pump's curve, else what a meter passes."""
    usual = table("log_figures")["meter_most"].value
    for line in site.lines:
        if line.source == tank.name:
            yield line.pump.curve[-1][0] if line.pump else usual
    for lift in site.lifts:
        if lift.source == tank.name:
            yield lift.pump.curve[-1][0] if lift.pump else usual


def most_passes_l_s(site: Site, gauge: Gauge) -> float:
    """The most that passes a meter: of its line's or lift's pump with an allowance, or as usual.

    A meter at no named line may stand behind any of the pumps. Of a counter of rain, in mm/s.
    """
    figures = table("log_figures")
    if gauge.measures == "rain":
        return figures["rain_most"].value
    pumps = [(one.name, one.pump) for one in site.lines]
    pumps += [(one.name, one.pump) for one in site.lifts]
    named = [pump for name, pump in pumps if name == gauge.of] or [pump for _, pump in pumps]
    ends = [pump.curve[-1][0] for pump in named if pump is not None]
    return max(figures["meter_most"].value, figures["pump_over"].value * max(ends, default=0.0))
