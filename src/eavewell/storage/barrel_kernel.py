"""A small store within the day: rain in steps, its want drawn evenly over the day."""

from typing import Any

import numba


@numba.njit(cache=True, nogil=True)
def run_barrel(
    full_l: float, runoff_l: Any, want_l: Any, pattern: Any, depths_mm: Any, out: Any
) -> None:
    """out[held, supplied, spilled] of each day; out[0, 0] holds the start on entry.

    Each step fills, spills, then draws. A day without a shape has its runoff spread evenly.
    """
    held, steps = out[0, 0], depths_mm.shape[1]
    for day in range(runoff_l.size):
        supplied = spilled = total = 0.0
        row = pattern[day]
        for k in range(steps):
            total += depths_mm[row, k] if row >= 0 else 1.0
        for k in range(steps):
            share = (depths_mm[row, k] if row >= 0 else 1.0) / total
            held += runoff_l[day] * share
            over = max(held - full_l, 0.0)
            give = min(held - over, want_l[day] / steps)
            held -= over + give
            spilled += over
            supplied += give
        out[0, day], out[1, day], out[2, day] = held, supplied, spilled
