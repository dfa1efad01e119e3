"""What a log on a telephone takes along: its gauges, their last figures, what is hardly true."""

from datetime import datetime
from typing import Any

import numpy as np

from eavewell.logbook.entries.asked import bare_unit
from eavewell.logbook.entries.log_answer import boxes_answer, by_hand_first, gauge_answer
from eavewell.logbook.kept import Kind
from eavewell.logbook.readings.figures import fits, quantity_asked, scale_of
from eavewell.logbook.readings.most_between import greatest_mm
from eavewell.logbook.store.store import Store
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.units import read

Plain = dict[str, Any]
KINDS: tuple[Kind, ...] = ("load", "done", "outage", "note")
_DAY_MINUTES = 1440.0


def phone_answer(site: Site, store: Store, *, now: datetime) -> Plain:
    """The gauges that somebody reads, and the boxes of what else is noted on the way."""
    gauges = (one for one in by_hand_first(site) if one.feed is None)
    return {
        "gauges": [_gauge(site, store, gauge=one, now=now) for one in gauges],
        "kinds": boxes_answer(site, KINDS),
    }


def _gauge(site: Site, store: Store, *, gauge: Gauge, now: datetime) -> Plain:
    told = gauge_answer(site, store, gauge=gauge, now=now)
    factor, offset = _bare(site, gauge)
    least, most = _likely(site, gauge)
    last = told["last"]
    return {
        "gauge": gauge.name,
        "called": told["called"],
        "unit": told["unit"],
        "adds": told["unit"] if gauge.per_pulse_l is None and fits(gauge, told["unit"]) else "",
        "least": None if least is None else (least - offset) / factor,
        "most": None if most is None else (most - offset) / factor,
        "counts_up": gauge.measures in ("meter", "make-up", "lamp hours"),
        "last": None if last is None else (last["value"] - offset) / factor,
        "last_says": "" if last is None else last["says"],
        "last_at": None if last is None else last["at"],
        "last_who": "" if last is None else last["who"],
    }


def _bare(site: Site, gauge: Gauge) -> tuple[float, float]:
    """Internal figure = bare figure x factor + offset."""
    scale = scale_of(gauge)
    if scale is not None:
        return scale.factor, scale.offset
    unit, quantity = bare_unit(gauge, site.place.show), quantity_asked(gauge)
    zero = read(f"0 {unit}", quantity)
    return read(f"1 {unit}", quantity) - zero, zero


def _likely(site: Site, gauge: Gauge) -> tuple[float | None, float | None]:
    """Figures outside are hardly true, in the internal unit; None where nobody can say."""
    least, most = gauge.least, gauge.most
    tank = next((one for one in site.tanks if one.name == gauge.of), None)
    if gauge.measures == "level" and tank and tank.shape and not gauge.known_levels:
        zero_m = gauge.zero_m
        if zero_m is not None and gauge.how != "ultrasonic":
            least = -zero_m if least is None else least
            most = tank.shape.height_m - zero_m if most is None else most
    if gauge.measures == "rain":
        day: FloatArray = np.array([_DAY_MINUTES])
        least = 0.0 if least is None else least
        most = float(greatest_mm(day)[0]) if most is None else most
    return least, most
