"""A log of ten years, a reading of four sensors each quarter of an hour: in, again, and out."""

import io
import statistics
import tempfile
import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import polars as pl

from benchmarks.hydraulics import HOUSE
from benchmarks.weigh import record
from eavewell.files.site.reader import read_site
from eavewell.logbook.ahead.basis import basis_on_record
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.store import open_log
from eavewell.logbook.taken.file import read_file
from eavewell.logbook.today_answer import today_of
from eavewell.site.beside import Beside
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge, Log
from eavewell.storage.drawn import as_drawn

BEGINS, READINGS = np.datetime64("2017-03-05T00:00", "m"), 350_640
NOW = datetime(2027, 3, 4, 23, 50, tzinfo=UTC)
GAUGES = (
    Gauge("tank", "level", of="main", how="pressure sensor", unit="cm"),
    Gauge("header tank", "level", of="header", how="pressure sensor", unit="cm"),
    Gauge("house meter", "meter", how="register", unit="gal"),
    Gauge("rain", "rain", how="rain gauge", unit="mm"),
)
TIMES = 7


def site_in(folder):
    """The whole house with four sensors, invented."""
    log = Log(zone="America/Chicago", gauges=GAUGES)
    return replace(read_site(HOUSE), log=log, folder=str(folder))


def written():
    """The csv of a logger, a column to a gauge; invented."""
    rng, at = np.random.default_rng(1), BEGINS + np.arange(READINGS) * np.timedelta64(15, "m")
    days = np.arange(READINGS) / 96.0
    level = 120.0 + 60.0 * np.sin(2.0 * np.pi * days / 365.25)
    frame = pl.DataFrame(
        {
            "time": at.astype("datetime64[ms]"),
            "tank (cm)": (level + rng.normal(0.0, 0.5, READINGS)).round(1),
            "header tank (cm)": (100.0 + rng.normal(0.0, 0.5, READINGS)).round(1),
            "house meter (gal)": np.cumsum(rng.poisson(0.9, READINGS)).astype(float),
            "rain (mm)": np.where(rng.random(READINGS) < 0.01, 0.6, 0.0),
        }
    )
    text = io.BytesIO()
    frame.with_columns(pl.col("time").dt.strftime("%Y-%m-%dT%H:%M:%SZ")).write_csv(text)
    return text.getvalue()


def measured(folder):
    """What was timed -> seconds."""
    site, data = site_in(folder), written()
    brought, read_s = _timed(lambda: read_file(data, site, name="ten years"))
    assert brought.count == 4 * READINGS, brought.faults
    with open_log(site) as store:
        _, add_s = _timed(lambda: store.add(brought.readings, now=NOW))
        added, again_s = _timed(lambda: store.add(brought.readings, now=NOW))
        assert (added.new, added.already) == (0, 4 * READINGS)
        one = iter(range(1000))

        def single():
            at = NOW + timedelta(seconds=next(one))
            store.add([Reading("tank", at, 1.2, zone="America/Chicago")], now=NOW)

        basis = basis_on_record(site, record(), beside=Beside(), today=NOW.date())
        every_day = as_drawn(basis.site, basis.water).every_day
        later = NOW + timedelta(minutes=20)
        return {
            "read the file": read_s,
            "write it, day sums and all": add_s,
            "the same again, nothing new": again_s,
            "one reading, on the disk": _median(single),
            "readings of one gauge": _median(lambda: store.readings("tank")),
            "day sums of one gauge": _median(lambda: store.day_sums("tank")),
            "the daily log of ten years": _median(lambda: daily_log(site, store, until=later)),
            "today's answer, the record warm": _median(
                lambda: today_of(basis, every_day, kept=store, now=later)
            ),
        }


def _timed(function):
    start = time.perf_counter()
    found = function()
    return found, time.perf_counter() - start


def _median(function):
    return statistics.median(_timed(function)[1] for _ in range(TIMES))


def report():
    """Print every line."""
    print(f"log of {4 * READINGS:,} readings, 4 gauges, ten years")
    with tempfile.TemporaryDirectory() as folder:
        for what, seconds in measured(folder).items():
            print(f"{what:36}{1000.0 * seconds:10,.1f} ms")


if __name__ == "__main__":
    report()
