"""The no-fail volume by the sequent peak method, a cross-check of the daily balance."""

from dataclasses import dataclass

import numpy as np

from eavewell.faults import OutOfRange
from eavewell.site.rain_record import FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class SequentPeak:
    """need_l[step] is the storage drawn down so far; volume_l is its peak.

    carries_over is False where the need keeps growing from cycle to cycle: more is wanted than
    comes, and no volume is large enough; volume_l is then None.
    """

    need_l: FloatArray
    volume_l: float | None
    carries_over: bool


def sequent_peak(inflow_l: FloatArray, demand_l: FloatArray) -> SequentPeak:
    """Least storage that never fails, K = max(0, K + D - Q), over two cycles of the series.

    inflow_l, demand_l : volumes per step, shape (step,), no losses and no spill counted.
    Raises OutOfRange where the two differ in length or hold no step. Source: the recursion is
    textbook (Thomas & Fiering 1963, from memory).
    """
    if inflow_l.shape != demand_l.shape or inflow_l.size == 0:
        raise OutOfRange("sequent peak: inflow and demand must be series of one length.")
    net = np.tile(demand_l - inflow_l, 2)
    fallen = np.cumsum(net)
    # K is the rise of the running sum above its lowest point so far, that point at most 0.
    need = fallen - np.minimum(np.minimum.accumulate(fallen), 0.0)
    first, second = need[: inflow_l.size].max(), need[inflow_l.size :].max()
    grows = float(np.sum(demand_l)) > float(np.sum(inflow_l)) * (1.0 + 1e-12)
    volume = None if grows else float(max(first, second))
    return SequentPeak(need, volume, not grows)
