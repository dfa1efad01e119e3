"""The look ahead of the whole-house example through 80 years, warm, and with what may be asked."""

import statistics
import time
from datetime import date, timedelta

import numpy as np

from benchmarks.hydraulics import HOUSE
from benchmarks.weigh import record
from eavewell.files.site.reader import read_site
from eavewell.logbook.ahead.basis import Arrival, Asked, Standing, basis_on_record
from eavewell.logbook.ahead.look import look_ahead
from eavewell.logbook.ahead.years import years_from
from eavewell.site.beside import Beside

DAY, TIMES = date(2027, 3, 5), 9


def measured():
    """What was asked -> milliseconds, warm; how many years ran."""
    basis = basis_on_record(read_site(HOUSE), record(), beside=Beside(), today=DAY)
    usable = np.array([tank.usable_l for tank in basis.site.tanks])
    week = {"": 340.0}
    sure = Standing(DAY, DAY, usable / 2.0, 0.0 * usable, week)
    unsure = Standing(DAY, DAY - timedelta(days=3), usable / 2.0, 0.01 * usable, week)
    forecast = Asked(
        rain_mm={DAY + timedelta(days=2): 20.0}, loads=(Arrival(DAY, "main", 7_500.0),)
    )
    reach = Asked(reach=date(2027, 6, 1))
    asked = {
        "a level that is sure": (sure, Asked()),
        "a level with its error, three days old": (unsure, Asked()),
        "and a forecast and a load": (unsure, forecast),
        "and the use that reaches 1 June": (unsure, reach),
    }
    years = years_from(basis.water.dates, unsure.read_on, days=368).shape[1]
    return {name: _ms(basis, one[0], asked=one[1]) for name, one in asked.items()}, years


def _ms(basis, standing, *, asked):
    look_ahead(basis, standing, asked=asked)
    times = []
    for _ in range(TIMES):
        begun = time.perf_counter()
        look_ahead(basis, standing, asked=asked)
        times.append(1000.0 * (time.perf_counter() - begun))
    return statistics.median(times)


def report():
    """Print the table."""
    found, years = measured()
    print(f"look ahead, whole house, {years} years of 365 days, three ways        ms")
    for name, ms in found.items():
        print(f"{name:<60} {ms:8.0f}")


if __name__ == "__main__":
    report()
