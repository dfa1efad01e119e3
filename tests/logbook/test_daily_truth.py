"""The daily log against an invented year whose every quarter of an hour is known."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from eavewell.logbook.readings.daily import daily_log
from eavewell.site.gauge import Gauge, Log
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box

ZONE = "America/Chicago"
CHICAGO = ZoneInfo(ZONE)
HOUSE = Gauge("house", "meter", how="register", unit="L")

QUARTERS = 365 * 96


def invented_year(seed):
    """What a tank of 7 m2 and 14,000 L holds and what is drawn, each quarter of an hour.

    250 L a day that vary by 30 %, none of it from 22 to 6; 90 storms of 1,000 L on average.
    """
    rng = np.random.default_rng(seed)
    use_l = 250.0 * (1.0 + 0.3 * rng.standard_normal(366)).clip(0.1)
    hours = np.arange(QUARTERS) % 96 / 4
    wanted = use_l[np.arange(QUARTERS) // 96] * np.where((hours >= 6) & (hours < 22), 1 / 64, 0.0)
    rain = np.zeros(QUARTERS)
    rain[rng.choice(QUARTERS, size=90, replace=False)] = rng.exponential(1000.0, 90)
    held, used, level = np.empty(QUARTERS), np.empty(QUARTERS), 7000.0
    for k in range(QUARTERS):
        used[k] = min(wanted[k], level)
        level = min(level - used[k] + rain[k], 14_000.0)
        held[k] = level
    return held, used, rng


@pytest.mark.parametrize(("noise_m", "every"), [(0.02, 1), (0.005, 96)])
@pytest.mark.parametrize("seed", [0, 3, 5])
def test_the_stated_error_is_the_true_one(making, keeping, seed, noise_m, every):
    """Sensor each quarter of an hour, stick at seven; 2 % missing; the meter begins anew once."""
    held, used, rng = invented_year(seed)
    start = np.datetime64("2026-01-01T06:00", "ms")  # midnight in winter
    stamps = start + np.arange(1, QUARTERS + 1) * np.timedelta64(15, "m")
    rows = np.arange(27 if every == 96 else 0, QUARTERS, every)
    rows = rows[rng.random(rows.size) > 0.02]
    figure = 5000.0 + np.cumsum(used)
    figure[200 * 96 + 37 :] -= figure[200 * 96 + 37]
    kept = keeping.InMemory()
    kept.add_arrays(
        "probe", stamps[rows], held[rows] / 7000.0 + noise_m * rng.normal(size=rows.size)
    )
    kept.add_arrays("house", stamps[rows], figure[rows])
    probe = Gauge("probe", "level", of="main", how="pressure sensor", noise=noise_m)
    tanks = (Tank("main", shape=Box(7.0, 1.0, 2.0)),)
    made = making.site(tanks=tanks, log=Log(zone=ZONE, gauges=(probe, HOUSE)))
    log = daily_log(made, kept, until=datetime(2027, 1, 3, tzinfo=CHICAGO))
    midnight = [
        datetime(day.year, day.month, day.day, tzinfo=CHICAGO).astimezone(UTC).replace(tzinfo=None)
        for day in log.dates.tolist()
    ]
    at_midnight = np.searchsorted(stamps, np.array(midnight, dtype="datetime64[ms]"))
    known = np.flatnonzero(np.isfinite(log.held_l[:, 0]) & (at_midnight > 0))
    error_l = log.held_l[known, 0] - held[at_midnight[known]]
    assert known.size > 355
    assert 0.8 < np.sqrt(np.mean((error_l / log.held_sd_l[known, 0]) ** 2)) < 1.2
    # what the meter counted is all there but for the interval in which it began anew
    counted = np.flatnonzero(np.isfinite(log.metered_l[:, 0]))
    drawn = np.add.reduceat(used, at_midnight)
    assert counted.size > 360
    lost = abs(float(log.metered_l[counted, 0].sum() - drawn[counted].sum()))
    assert lost < 2 * 250.0
