"""Inches labelled mm, or mm labelled inches, noticed by the yearly total and the wettest day."""

import numpy as np

from eavewell.site.rain_record import FloatArray
from eavewell.tables import table
from eavewell.units import convert, read
from eavewell.weather.greatest_rain import greatest_rain_mm_paulhus

DAY_MINUTES = 1440


def unit_slip(rain_mm: FloatArray) -> str:
    """A sentence where the depths look as if they stood in another unit; "" where they do not.

    rain_mm : daily depths as read, NaN where missing, shape (day,). Less than a year says "".
    """
    known = rain_mm[~np.isnan(rain_mm)]
    if known.size < 365 or not known.any():
        return ""
    limits = table("rain_limits")
    year_mm, wettest_mm = float(known.mean() * 365.25), float(known.max())
    low = year_mm < limits["slip_low_year"].value and wettest_mm < limits["slip_low_day"].value
    seen = f"{year_mm:.0f} mm in a mean year and {wettest_mm:.1f} mm on the wettest day"
    if low:
        return (
            f"{seen}: the depths look like inches read as mm "
            f'({read(f"{year_mm:.6f} in", "depth"):.0f} mm a year); if they are, say unit = "in".'
        )
    if year_mm > limits["wettest_mean_year"].value or wettest_mm > greatest_rain_mm_paulhus(
        DAY_MINUTES
    ):
        return (
            f"{seen}: more than any place has; the depths look like mm read as inches "
            f'({convert(year_mm, "depth", unit="in"):.0f} mm a year); if they are, say unit = "mm".'
        )
    return ""
