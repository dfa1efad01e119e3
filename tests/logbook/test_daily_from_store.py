"""A file brought into a store on disk gives the daily log that it gives from memory."""

from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.store import open_log
from eavewell.logbook.taken import read_file
from eavewell.site.gauge import Gauge, Log
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import HorizontalCylinder

EYE = Gauge("eye", "level", of="main", how="ultrasonic", zero_m=2.2, unit="cm", reckons_at_c=20.0,
            air_gauge="air")  # fmt: skip
HOUSE = Gauge("house", "meter", how="register", unit="gal", wraps_at=99_999)
AIR = Gauge("air", "temperature", of="main", unit="F")
TIPS = Gauge("tips", "rain", how="rain gauge", unit="mm")


def history(days, seed=4):
    """Invented states of four sensors every half hour, with states that are none."""
    rng = np.random.default_rng(seed)
    start = datetime(2026, 3, 5, 6, tzinfo=UTC)
    count, rows = 98_700, ["entity_id,state,last_changed"]
    for k in range(48 * days):
        at = f"{start + timedelta(minutes=30 * k):%Y-%m-%dT%H:%M:%S.000Z}"
        count = (count + int(rng.integers(0, 9))) % 100_000
        if k == 48 * 11 + 5:
            count = 3  # begins anew
        distance = 100.0 + 0.05 * k + rng.normal()
        rows.append(f"sensor.eye,{distance if rng.random() > 0.02 else 'unavailable'},{at}")
        rows.append(f"sensor.house_meter,{count},{at}")
        rows.append(f"sensor.air,{60 + 10 * np.sin(k / 24)},{at}")
        rows.append(f"sensor.tips,{0.2 * (rng.random() < 0.1)},{at}")
    shuffled = [rows[0], *rng.permutation(rows[1:]).tolist()]
    return "\n".join(shuffled).encode()


def test_a_store_and_memory_tell_the_same(making, keeping, tmp_path):
    tank = Tank("main", count=2, shape=HorizontalCylinder(2.0, 3.0), outlet_m=0.1)
    log = Log(zone="America/Chicago", gauges=(EYE, HOUSE, AIR, TIPS))
    site = replace(making.site(tanks=(tank,), log=log), folder=str(tmp_path))
    brought = read_file(history(20), site)
    assert brought.faults == ()
    memory = keeping.InMemory()
    for many in brought.readings:
        memory.add_arrays(many.gauge, many.at_utc, many.value)
    until = datetime(2026, 3, 24, 13, tzinfo=UTC)
    with open_log(site) as store:
        store.add(brought.readings)
        kept = daily_log(site, store, until=until)
    same = daily_log(site, memory, until=until)
    assert np.isfinite(kept.metered_l).sum() == np.isfinite(kept.held_l).sum() == 19
    for one in fields(DailyLog):
        mine, other = getattr(kept, one.name), getattr(same, one.name)
        assert (
            mine == other
            if isinstance(mine, tuple)
            else np.array_equal(mine.astype(float), other.astype(float), equal_nan=True)
        )
