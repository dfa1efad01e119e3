"""What is used in a day: as the plan has it for this season, and as it was last week."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from eavewell.logbook.ahead.basis import Basis, Standing
from eavewell.logbook.ahead.years import Rows
from eavewell.site.rain_record import FloatArray
from eavewell.site.use import Use
from eavewell.site.want import Household, People
from eavewell.storage.series import uses_in_order
from eavewell.tables import table


@dataclass(frozen=True, slots=True, eq=False)
class Used:
    """Use of a day by the use's name.

    week_l_day : of the last week; None where it is not known.
    plan_l_day : of the days to come as the plan has them, mean of the years.
    scale      : last week over its plan, of each use in the order of service, (use,), within
                 reason; 1 where it is not known or nothing was planned.
    """

    week_l_day: Mapping[str, float] | None
    plan_l_day: Mapping[str, float]
    scale: FloatArray

    @property
    def ahead_l_day(self) -> dict[str, float]:
        """The days to come at last week's share of the plan."""
        pairs = zip(self.plan_l_day.items(), self.scale, strict=True)
        return {name: float(l_day * scale) for (name, l_day), scale in pairs}


def used(basis: Basis, rows: Rows, *, standing: Standing) -> Used:
    """Use of last week against its plan; rows : (day, year) that the run reads."""
    names = [use.name for use in uses_in_order(basis.site)]
    gone, ahead = (standing.day - standing.read_on).days, int(table("ahead")["plan days"].value)
    plan = _mean_l_day(basis, rows[gone : gone + ahead])
    by_name = dict(zip(names, plan.tolist(), strict=True))
    if not standing.week_l_day:
        return Used(None, by_name, np.ones(len(names)))
    last = gone - 1 - np.arange(int(table("ahead")["week days"].value))
    before = np.clip(rows[0][None, :] + last[:, None], 0, basis.water.days - 1)
    week_plan = _mean_l_day(basis, before)
    week = _week(names, week_plan, week_l_day=standing.week_l_day)
    most = table("ahead")["most of the plan"].value
    planned = np.where(week_plan > 0.0, week_plan, 1.0)
    scale = np.where(week_plan > 0.0, np.minimum(week / planned, most), 1.0)
    return Used(dict(zip(names, week.tolist(), strict=True)), by_name, scale)


def _mean_l_day(basis: Basis, rows: Rows) -> FloatArray:
    mean: FloatArray = basis.water.demand_l[rows].mean(axis=(0, 1))
    return mean


def _week(
    names: list[str], plan_l_day: FloatArray, *, week_l_day: Mapping[str, float]
) -> FloatArray:
    """Metered uses by their own meters; the others share what is left of the whole as planned."""
    metered = np.array([name in week_l_day for name in names])
    week = np.where(metered, [week_l_day.get(name, 0.0) for name in names], plan_l_day)
    if "" in week_l_day and not metered.all():
        rest = max(week_l_day[""] - week[metered].sum(), 0.0)
        planned = plan_l_day[~metered]
        alike = np.full(planned.size, 1.0 / planned.size)
        week[~metered] = rest * (planned / planned.sum() if planned.sum() > 0.0 else alike)
    return week


def people_of(uses: tuple[Use, ...]) -> float | None:
    """The most people of any one use; None where a site names none."""
    counts = [
        want.count if isinstance(want, People) else want.people
        for use in uses
        for want in use.wants
        if isinstance(want, People | Household)
    ]
    return max(counts, default=None)
