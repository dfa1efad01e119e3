"""A sump and its pump through every day, moved from event to event within each step of rain.

The sump fills until the pump starts, the pump runs until it stops or the spillway runs over; the
pump's flow is a straight line over the volume held, so that every stretch between two events has
an exact end and no water is made or lost by the step.
"""

from math import expm1, log1p
from typing import Any, NamedTuple

import numba

from eavewell.storage.sump_days import CAPTURED, HELD, ON, OVERTOPPED, RISER, STARTS

DAY_S = 86400.0
_step = numba.njit(inline="always")


class Sump(NamedTuple):
    """Volumes in L above the level at which the pump stops, flows in L/s.

    low_l_s, high_l_s : flow at the stop level and at the spillway; back_l : runs back from the
    riser at each stop.
    """

    start_l: float
    spill_l: float
    back_l: float
    low_l_s: float
    high_l_s: float


@_step
def _off(s: Any, p: Any, inflow_l_s: float, left_s: float, powered: Any) -> float:
    """Fill until the pump starts, else to the spillway; the seconds that are left."""
    if powered and s[HELD] >= p.start_l:
        s[ON] = 1.0
        s[STARTS] += 1.0
        return left_s
    top = p.start_l if powered and p.start_l < p.spill_l else p.spill_l
    room = max(top - s[HELD], 0.0)
    if inflow_l_s * left_s < room or inflow_l_s <= 0.0:
        s[HELD] += inflow_l_s * left_s
        return 0.0
    s[HELD] = max(s[HELD], top)
    left_s -= room / inflow_l_s
    if top < p.start_l or not powered:
        s[OVERTOPPED] += inflow_l_s * left_s
        return 0.0
    return left_s


@_step
def _seconds(net_end: float, change_l: float, rate: float) -> float:
    """Time in which the volume changes by `change_l`, at whose end the net inflow is `net_end`."""
    bend = rate * change_l / net_end
    if abs(bend) < 1e-9:
        return change_l / net_end
    return log1p(bend) / rate


@_step
def _lift(s: Any, p: Any, moved_l: float) -> None:
    """What the pump moves fills the riser first."""
    into_riser = min(p.back_l - s[RISER], moved_l)
    s[RISER] += into_riser
    s[CAPTURED] += moved_l - into_riser


@_step
def _stop(s: Any, p: Any) -> None:
    """The riser runs back."""
    s[ON] = 0.0
    s[HELD] += s[RISER]
    s[RISER] = 0.0
    s[OVERTOPPED] += max(s[HELD] - p.spill_l, 0.0)
    s[HELD] = min(s[HELD], p.spill_l)


@_step
def _on(s: Any, p: Any, inflow_l_s: float, left_s: float) -> float:
    """Pump until it stops, spills or the time is over; the seconds that are left."""
    rate = (p.high_l_s - p.low_l_s) / p.spill_l
    net = inflow_l_s - p.low_l_s - rate * s[HELD]
    end_l = p.spill_l if net > 0.0 else 0.0
    net_end = inflow_l_s - p.low_l_s - rate * end_l
    used = left_s
    if net * net_end > 0.0:
        used = _seconds(net_end, end_l - s[HELD], rate)
    if used >= left_s:
        bend = rate * left_s
        run = left_s if abs(bend) < 1e-9 else -expm1(-bend) / rate
        change = net * run
        _lift(s, p, inflow_l_s * left_s - change)
        s[HELD] = min(max(s[HELD] + change, 0.0), p.spill_l)
        return 0.0
    _lift(s, p, inflow_l_s * used - (end_l - s[HELD]))
    s[HELD] = end_l
    left_s -= used
    if net > 0.0:
        s[OVERTOPPED] += net_end * left_s
        _lift(s, p, (inflow_l_s - net_end) * left_s)
        return 0.0
    _stop(s, p)
    return left_s


@_step
def _stretch(s: Any, p: Any, inflow_l_s: float, seconds: float, powered: Any) -> None:
    left = seconds
    while left > 0.0:
        running = s[ON] > 0.0
        left = _on(s, p, inflow_l_s, left) if running else _off(s, p, inflow_l_s, left, powered)


@_step
def _wet_day(s: Any, p: Any, runoff_l: float, depths: Any, powered: Any) -> None:
    total = 0.0
    for k in range(depths.size):
        total += depths[k]
    seconds = DAY_S / depths.size
    for k in range(depths.size):
        if depths[k] > 0.0 or s[ON] > 0.0:
            _stretch(s, p, runoff_l * (depths[k] / total) / seconds, seconds, powered)


@numba.njit(cache=True, nogil=True)
def run_sump(p: Sump, runoff_l: Any, pattern: Any, depths_mm: Any, powered: Any, out: Any) -> None:
    """Run every day; out[quantity, day] holds the evening's volume and the day's sums.

    pattern[day] : row of depths_mm[row, step] that shapes the day; -1 spreads it evenly.
    """
    s = out[:, 0] * 0.0
    for day in range(runoff_l.size):
        on = powered[day]
        if not on and s[ON] > 0.0:
            _stop(s, p)
        if runoff_l[day] > 0.0 and pattern[day] >= 0:
            _wet_day(s, p, runoff_l[day], depths_mm[pattern[day]], on)
        elif runoff_l[day] > 0.0 or s[ON] > 0.0 or s[HELD] >= p.start_l:
            _stretch(s, p, runoff_l[day] / DAY_S, DAY_S, on)
        out[:, day] = s
        s[CAPTURED], s[OVERTOPPED], s[STARTS] = 0.0, 0.0, 0.0
