"""A sump under 28 years of 5-minute rain of Goerlitz, Germany, measured by its weather service.

The site is invented; the other account is a loop of seconds (COMPUTED by another method). The
record is not in the repository; the test is skipped where it is not beside it.
"""

import os
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

from eavewell.storage.sump_days import CAPTURED, HELD, OVERTOPPED
from eavewell.storage.within_day import SumpLift, capture, run_lift

SHARED = Path(os.environ.get("EAVEWELL_SHARED_DATA", Path(__file__).parents[3] / "shared" / "data"))
FILE = SHARED / "subdaily" / "Goerlitz_01684_5min_1993-2020_nonzero.csv.gz"
pytestmark = pytest.mark.skipif(
    not FILE.is_file(), reason=f"no shared records in {SHARED}: set EAVEWELL_SHARED_DATA"
)
STEPS, AREA_M2 = 288, 464.5
LIFT = SumpLift("lift", "sump", "tank", 100.0, 378.0, 0.0, 2.2, 2.2)


@pytest.fixture(scope="module")
def rain():
    """Every day from the first to the last, wet ones in steps."""
    found = pd.read_csv(FILE, parse_dates=["utc"])
    day = (found.utc.dt.normalize() - found.utc.iloc[0].normalize()).dt.days.to_numpy()
    step = (found.utc.dt.hour * 12 + found.utc.dt.minute // 5).to_numpy()
    rows, at = np.unique(day, return_inverse=True)
    steps_mm = np.zeros((rows.size, STEPS), dtype=np.float32)
    np.add.at(steps_mm, (at, step), found.mm.to_numpy(dtype=np.float32))
    runoff_mm = np.zeros(rows[-1] + 1)
    runoff_mm[rows] = steps_mm.sum(axis=1, dtype=float)
    return SimpleNamespace(rows=rows, steps_mm=steps_mm, runoff_mm=runoff_mm)


def _seconds(steps_l, held=0.0):
    """One day from an empty sump, pump at rest."""
    captured = over = 0.0
    running = False
    for runoff in steps_l:
        if runoff == 0.0 and not running:
            continue
        for _ in range(300):
            held += runoff / 300
            running = running or held >= LIFT.start_l
            moved = min(LIFT.low_l_s, held) if running else 0.0
            captured, held = captured + moved, held - moved
            running = running and held > 0.0
            over, held = over + max(held - LIFT.spill_l, 0.0), min(held, LIFT.spill_l)
    return captured, over, held


def test_the_twenty_wettest_days_by_the_second(rain):
    worst = np.argsort(rain.steps_mm.sum(axis=1))[-20:]
    for one in worst:
        depths = rain.steps_mm[one].astype(float)
        within = SimpleNamespace(rows=np.array([0]), steps_mm=rain.steps_mm[one : one + 1])
        out = run_lift(LIFT, np.array([depths.sum() * AREA_M2]), within=within)[:, 0]
        captured, over, held = _seconds(depths * AREA_M2)
        # Second by second a start may come sooner or later, and with it what stands in the sump.
        assert out[OVERTOPPED] == pytest.approx(over, rel=2e-3, abs=LIFT.start_l)
        assert out[CAPTURED] == pytest.approx(captured, rel=2e-3, abs=LIFT.start_l)
        assert out[CAPTURED] + out[HELD] == pytest.approx(
            captured + held, rel=2e-3, abs=LIFT.start_l
        )


def test_gentle_days_are_captured_whole_and_the_heaviest_are_not(making, rain):
    site = making.site(
        roofs=(making.roof(AREA_M2, "sump"),),
        tanks=(making.tank(40_000.0), making.tank(378.0, "sump", is_sump=True)),
    )
    water = making.series(rain.runoff_mm, np.zeros(rain.runoff_mm.size), first="1993-01-06")
    (one,) = capture(site, water, within=rain, lifts=[LIFT])
    shares = [found.captured_share for found in one.classes if found.days > 3]
    assert shares[0] > 0.99
    assert shares[-1] == min(shares)
    assert 0.8 < one.captured_share < 1.0
    assert abs(one.error_l) < 1e-9 * one.runoff_l.sum()
    assert all(year.without_3_l < year.without_1_l < year.captured_l for year in one.years)
