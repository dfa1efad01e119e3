"""The same one-store account written the other ways one would write it.

Each takes a one-store arrangement and returns level, spilled, supplied, short days and longest
run, [5, lane].
"""

import numpy as np
import pandas as pd

HAIR = 1e-9


def plain_python(a):
    """Floats, one lane after another."""
    rain, asked = a.runoff_mm[:, 0].tolist(), a.demand_l[:, 0].tolist()
    return np.array([_lane(a, i, rain=rain, asked=asked) for i in range(a.capacity_l.shape[1])]).T


def _lane(a, i, *, rain, asked):
    area, full = float(a.area_m2[0, i]), float(a.capacity_l[0, i])
    scale, reserve = float(a.scale[0, i]), float(a.reserve_l[0, 0, i])
    level, spilled, supplied = float(a.start_l[0, i]), 0.0, 0.0
    short = run = longest = 0
    for depth, volume in zip(rain, asked, strict=True):
        morning = level
        level += depth * area
        if level > full:
            spilled += level - full
            level = full
        want = volume * scale
        give = min(max(min(morning, level) - reserve, 0.0), want)
        level -= give
        supplied += give
        if want - give > HAIR * want:
            short += 1
            run += 1
            longest = max(longest, run)
        elif want > 0.0:
            run = 0
    return level, spilled, supplied, short, longest


def pandas_rows(a):
    """A table of days walked row by row, the first lane alone."""
    days = pd.DataFrame({"rain_mm": a.runoff_mm[:, 0], "want_l": a.demand_l[:, 0]})
    area, full, reserve = a.area_m2[0, 0], a.capacity_l[0, 0], a.reserve_l[0, 0, 0]
    level, spilled, supplied, short, run, longest = a.start_l[0, 0], 0.0, 0.0, 0, 0, 0
    for number, day in days.iterrows():
        held = min(level + day["rain_mm"] * area, full)
        spilled += level + day["rain_mm"] * area - held
        give = min(max(min(level, held) - reserve, 0.0), day["want_l"])
        level = held - give
        days.loc[number, "given_l"] = give
        missed = day["want_l"] - give > HAIR * day["want_l"]
        short, run = short + missed, (run + 1) * missed
        longest = max(longest, run)
    supplied = days["given_l"].sum()
    return np.array([[level], [spilled], [supplied], [short], [longest]])


def numpy_over_sizes(a):
    """Days in a Python loop, all sizes at once in numpy."""
    level = a.start_l[0].copy()
    spilled, supplied, short, run, longest = (np.zeros_like(level) for _ in range(5))
    area, full, scale, reserve = a.area_m2[0], a.capacity_l[0], a.scale[0], a.reserve_l[0, 0]
    for depth, volume in zip(a.runoff_mm[:, 0], a.demand_l[:, 0], strict=True):
        filled = level + depth * area
        held = np.minimum(filled, full)
        spilled += filled - held
        want = volume * scale
        give = np.minimum(np.maximum(np.minimum(level, held) - reserve, 0.0), want)
        level = held - give
        supplied += give
        missed = want - give > HAIR * want
        short += missed
        run = (run + 1.0) * missed
        np.maximum(longest, run, out=longest)
    return np.stack([level, spilled, supplied, short, longest])
