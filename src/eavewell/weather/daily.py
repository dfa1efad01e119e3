"""Short steps of rain summed to days."""

import numpy as np

from eavewell.site.rain_record import Mark, RainRecord, StepRain


def daily(steps: StepRain) -> RainRecord:
    """Sum the steps of each day; a step belongs to the day in which it starts.

    Days of the period without a wet step are dry; missing_days are missing.
    """
    first = np.datetime64(steps.first_day, "D")
    days = (steps.last_day - steps.first_day).days + 1
    rows = (steps.starts.astype("datetime64[D]") - first).astype(np.int64)
    rain_mm = np.bincount(rows, weights=steps.rain_mm, minlength=days).astype(np.float64)
    lost = [(day - steps.first_day).days for day in steps.missing_days]
    rain_mm[lost] = np.nan
    marks = np.where(np.isnan(rain_mm), Mark.MISSING, Mark.MEASURED).astype(np.uint16)
    note = f"Daily sums of steps of {steps.step_minutes} minutes."
    return RainRecord(
        name=steps.name,
        first_day=steps.first_day,
        rain_mm=rain_mm,
        marks=marks,
        station=steps.station,
        notes=(*steps.notes, note),
    )
