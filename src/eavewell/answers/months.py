"""The stores through the record and through a mean year, as plain data."""

from datetime import date
from typing import Any

import numpy as np
from numpy.typing import NDArray

from eavewell.design import Design
from eavewell.site.rain_record import FloatArray
from eavewell.storage.reliability import month_rows, monthly_means
from eavewell.storage.series import drained_roofs, uses_in_order

Plain = dict[str, Any]
# days of a mean month, 97 leap days in 400 years counted
MONTH_DAYS = (31, 28.2425, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
# evenings shown before and after the worst spell, and at most in all
ASIDE, MOST = 120, 800


def levels(design: Design) -> Plain:
    """All stores together: the highest and lowest evening of each month, and the worst spell."""
    level = design.drawn.every_day.level_l.sum(axis=1)
    dates = design.water.dates
    starts = np.flatnonzero(np.diff(dates.astype("datetime64[M]").astype(int), prepend=-(10**6)))
    first, last = _closest(design, level)
    return {
        "from": str(dates[0].astype("datetime64[M]")),
        "lowest_l": np.minimum.reduceat(level, starts).tolist(),
        "highest_l": np.maximum.reduceat(level, starts).tolist(),
        # a sump that is lifted within the day holds nothing in the evening
        "usable_l": sum(tank.usable_l for tank in design.moved.site.tanks),
        "closest_from": str(dates[first].astype("datetime64[D]")),
        "closest_l": [round(evening, 1) for evening in level[first:last].tolist()],
    }


def _closest(design: Design, level: FloatArray) -> tuple[int, int]:
    """Rows to be seen day by day: round the worst spell, or else round the lowest evening."""
    worst, dates = design.drawn.reliability.worst, design.water.dates
    lowest = int(level.argmin())
    first, last = (
        (_row(dates, day) for day in (worst.first, worst.last)) if worst else (lowest,) * 2
    )
    start = max(0, first - ASIDE)
    return start, min(level.size, last + ASIDE + 1, start + MOST)


def _row(dates: NDArray[np.datetime64], day: date) -> int:
    return int((np.datetime64(day) - dates[0].astype("datetime64[D]")).astype(int))


def months(design: Design) -> list[Plain]:
    """What comes, is wanted and is drawn in a mean January, February and so on."""
    every, mains, dates = design.drawn.every_day, by_mains(design), design.water.dates
    missing = every.planned_l - every.supplied_l
    columns = {
        "inflow_l": design.moved.water.runoff_mm @ _areas_m2(design),
        "wanted_l": design.moved.water.demand_l.sum(axis=1),
        "supplied_l": every.supplied_l.sum(axis=1),
        "make_up_l": missing[:, mains].sum(axis=1),
        "short_l": missing[:, ~mains].sum(axis=1),
    }
    days = np.bincount(month_rows(dates), minlength=12)
    means = {name: monthly_means(column, dates) for name, column in columns.items()}
    return [
        {"month": at + 1}
        | {
            name: float(mean[at]) * MONTH_DAYS[at] if days[at] else None
            for name, mean in means.items()
        }
        for at in range(12)
    ]


def by_mains(design: Design) -> NDArray[np.bool_]:
    """Of each use in the order of service, whether mains water makes up what is missing."""
    return np.array([use.fallback == "mains" for use in uses_in_order(design.site)], dtype=bool)


def _areas_m2(design: Design) -> FloatArray:
    return np.array([roof.plan_area_m2 for roof in drained_roofs(design.moved.site)])
