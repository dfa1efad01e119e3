"""The worst dry spells of a record: longest without rain, and driest windows by their dates.

    python examples/gallery/worst_dry_spells.py [RECORD]

RECORD is any file of daily rain that Eavewell reads; left out, an invented climate is taken.
"""

import sys
from datetime import timedelta

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

import eavewell
from eavewell.weather.climates import climate_record
from eavewell.weather.years import runs_of

WINDOWS_DAYS = (30, 90, 180, 365, 730)
# less than this only wets the roof
WET_MM = 1.0


def dates(record, row, days):
    """First and last day of a stretch, in words."""
    first = record.first_day + timedelta(days=int(row))
    return f"{first} to {first + timedelta(days=int(days) - 1)}"


def main():
    """Print the five longest spells and the driest window of each length."""
    record = eavewell.read_rain(sys.argv[1]) if len(sys.argv) > 1 else climate_record("dry-uplands")
    print(f"{record.name}{', invented' if record.invented else ''}")

    spells = runs_of(record.rain_mm < WET_MM)  # a missing day ends a spell: nobody knows
    for row, days in spells[np.argsort(-spells[:, 1])][:5]:
        print(f"{days:4} days below {WET_MM:g} mm   {dates(record, row, days)}")

    for days in WINDOWS_DAYS:
        if days > record.rain_mm.size:
            break
        sums = sliding_window_view(record.rain_mm, days).sum(axis=1)  # NaN where a day is missing
        if np.isnan(sums).all():
            break
        row = int(np.nanargmin(sums))
        print(f"{days:4} days with {sums[row]:5.0f} mm      {dates(record, row, days)}")


if __name__ == "__main__":
    main()
