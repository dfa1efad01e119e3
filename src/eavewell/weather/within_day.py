"""Rain within the day: each wet day of a daily record in short steps that keep its depth."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import DayArray, FloatArray, StepRain
from eavewell.site.storm import Storm
from eavewell.weather.anchor import Anchored, anchored, most_mm, power_to_meet
from eavewell.weather.days import Days
from eavewell.weather.design_storm import DesignStorms
from eavewell.weather.fragments import donor_days, pick_donors

SEED = 20_450
KM_A_MILE = 1.609344
FINE_MINUTES = 15
UNDERSTATED = (
    "the donor's steps are longer than 15 minutes: cloudbursts are flattened, so what overtops is "
    "understated, often by half or more"
)


@dataclass(frozen=True, slots=True, eq=False)
class WithinDay:
    """Rain of each wet day in equal steps.

    rows     : of the wet days in the record, shape (wet,).
    steps_mm : shape (wet, step); the steps of a day add up to its depth.
    donor    : whose shapes they are. says : where that is and how far, in words.
    anchor   : its yearly maxima beside the site's storms; None where those are unknown.
    sharper  : the same days with the donor's storms drawn together until the 2-year 5-minute rain
               is the site's; None where that is unknown or the donor is sharp enough.
    """

    rows: NDArray[np.int64]
    steps_mm: NDArray[np.float32]
    minutes: int
    donor: str
    says: str
    anchor: Anchored | None = None
    sharper: "WithinDay | None" = None

    @property
    def trusted(self) -> bool:
        """Whether its steps are short and its maxima agree with the site's storms."""
        fine = self.minutes <= FINE_MINUTES
        return fine and self.anchor is not None and self.anchor.agrees


def rain_within_days(
    days: Days, *, donor: StepRain | None, storm: Storm, storms: DesignStorms
) -> WithinDay | None:
    """Give every wet day the shape of a donor's day; None where there is no donor.

    Seeded: the same days and donor give the same rain. Raises BadRecord for a donor that cannot
    lend.
    """
    if donor is None:
        return None
    lent = donor_days(donor)
    rows = np.flatnonzero(days.rain_mm > 0.0)
    dates, depths = days.dates[rows], days.rain_mm[rows]
    picked = pick_donors(lent, dates, depth_mm=depths, wet_dates=dates, seed=SEED)
    whole = WithinDay(
        rows=rows,
        steps_mm=(lent.shares[picked] * depths[:, None]).astype(np.float32),
        minutes=lent.minutes,
        donor=storm.donor_name or donor.name,
        says=_says(storm, donor),
    )
    return _anchored(whole, days.dates, donor=donor, storms=storms)


def _anchored(
    whole: WithinDay, dates: DayArray, *, donor: StepRain, storms: DesignStorms
) -> WithinDay:
    anchor = anchored(whole.steps_mm, dates[whole.rows], minutes=whole.minutes, storms=storms)
    if anchor is None:
        return whole
    lent = donor_days(donor)
    hour = most_mm(lent.shares * lent.depth_mm[:, None], lent.dates, steps=60 // lent.minutes)
    anchor = replace(anchor, donor_hour_share=anchor.share_of_hour(hour))
    power = power_to_meet(whole.steps_mm, dates[whole.rows], minutes=whole.minutes, anchor=anchor)
    if power is None:
        return replace(whole, anchor=anchor)
    sharp = replace(whole, steps_mm=sharpened(whole.steps_mm, power))
    again = anchored(sharp.steps_mm, dates[whole.rows], minutes=whole.minutes, storms=storms)
    return replace(whole, anchor=anchor, sharper=replace(sharp, anchor=again))


def sharpened(steps_mm: NDArray[np.float32], power: float) -> NDArray[np.float32]:
    """Draw each day's rain together: shares to a power of 1 or more, the day's depth kept."""
    depth: FloatArray = steps_mm.sum(axis=1, dtype=np.float64, keepdims=True)
    shares = (steps_mm / depth) ** power
    return np.asarray(shares / shares.sum(axis=1, keepdims=True) * depth, dtype=np.float32)


def _says(storm: Storm, donor: StepRain) -> str:
    place = storm.donor_name or donor.name
    if "invented" in donor.name:
        return f"shape of the days from {place}: no gauge measured them; seeded"
    km = storm.donor_km
    far = "distance unknown" if km is None else f"{km:,.0f} km or {km / KM_A_MILE:,.0f} miles away"
    climate = storm.donor_climate or "climate not stated"
    years = f"{donor.first_day.year} to {donor.last_day.year}"
    return f"shape of the days from {place} ({far}, {climate}, {years}), seeded"
