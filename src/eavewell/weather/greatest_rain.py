"""The most rain that any gauge has seen in a given time: above it, a reading is a fault."""

from eavewell.faults import OutOfRange
from eavewell.tables import table


def greatest_rain_mm_paulhus(minutes: float) -> float:
    """Envelope of the greatest observed rains: 422 mm x hours^0.475.

    minutes : length of time, 1 minute to 2 years.
    Source paulhus_1965, envelope of greatest observed rains.
    """
    if not 1 <= minutes <= 2 * 366 * 24 * 60:
        raise OutOfRange(
            f"The envelope of greatest rains holds for 1 min to 2 years, not {minutes:g} min."
        )
    limits = table("rain_limits")
    hours = minutes / 60.0
    one_hour_mm, exponent = limits["record_depth_one_hour"], limits["record_depth_exponent"]
    return float(one_hour_mm.value * hours**exponent.value)
