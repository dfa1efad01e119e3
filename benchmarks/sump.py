"""A sump within the day, 30 years of 5-minute rain, beside the same account in plain Python."""

import statistics
import time
from math import exp, log
from types import SimpleNamespace

import numpy as np

from eavewell.storage.sump_days import CAPTURED, OVERTOPPED
from eavewell.storage.within_day import SumpLift, run_lift

DAYS, STEPS, STEP_S = 10_957, 288, 300.0
LIFT = SumpLift("lift", "sump", "tank", 100.0, 378.0, 6.0, 2.0, 2.4)
TIMES = 7


def rain():
    """Invented: a fifth of the days wet, 6 % of their steps."""
    rng = np.random.default_rng(3)
    rows = np.flatnonzero(rng.random(DAYS) < 0.2)
    shape = (rows.size, STEPS)
    steps = np.where(rng.random(shape) < 0.06, rng.exponential(0.8, shape), 0.0)
    steps[:, 100] += 0.1
    return SimpleNamespace(rows=rows, steps_mm=steps.astype(np.float32))


def record():
    """That rain, and the litres that run off a roof on each day."""
    within, runoff_l = rain(), np.zeros(DAYS)
    runoff_l[within.rows] = within.steps_mm.astype(float).sum(axis=1) * 465.0 * 0.85
    return within, runoff_l


class PlainSump:
    """From event to event, as floats."""

    def __init__(self, lift):
        self.lift = lift
        self.slope = (lift.high_l_s - lift.low_l_s) / lift.spill_l
        self.held = self.riser = self.captured = self.over = 0.0
        self.running = False

    def step(self, inflow_l_s, left_s):
        """One stretch of steady inflow."""
        while left_s > 0.0:
            left_s = (self._pump if self.running else self._fill)(inflow_l_s, left_s)

    def _fill(self, inflow, left):
        missing = self.lift.start_l - self.held
        if inflow * left < missing:
            self.held += inflow * left
            return 0.0
        self.running = True
        if missing > 0.0:
            self.held = self.lift.start_l
            left -= missing / inflow
        return left

    def _pump(self, inflow, left):
        rising = inflow > self.lift.low_l_s + self.slope * self.held
        end = self.lift.spill_l if rising else 0.0
        steady = (inflow - self.lift.low_l_s) / self.slope
        reached = (end - steady) * (self.held - steady) > 0.0 and abs(end - steady) <= abs(
            self.held - steady
        )
        used = log((self.held - steady) / (end - steady)) / self.slope if reached else left
        if used >= left:
            level = steady + (self.held - steady) * exp(-self.slope * left)
            self._lift(inflow * left + self.held - level)
            self.held = level
            return 0.0
        self._lift(inflow * used + self.held - end)
        self.held = end
        if rising:
            self._lift(self.lift.high_l_s * (left - used))
            self.over += (inflow - self.lift.high_l_s) * (left - used)
            return 0.0
        self.running, self.held, self.riser = False, self.riser, 0.0
        return left - used

    def _lift(self, moved):
        fills = min(self.lift.back_l - self.riser, moved)
        self.riser += fills
        self.captured += moved - fills


def plain_python(within, runoff_l):
    """Captured and overtopped of the whole record."""
    sump, shapes = PlainSump(LIFT), dict(zip(within.rows.tolist(), within.steps_mm, strict=True))
    for day, runoff in enumerate(runoff_l.tolist()):
        if runoff == 0.0:
            if sump.running:
                sump.step(0.0, 86400.0)
            continue
        share = shapes[day].astype(float)
        for inflow in (share * (runoff / share.sum() / STEP_S)).tolist():
            if inflow > 0.0 or sump.running:
                sump.step(inflow, STEP_S)
    return sump.captured, sump.over


def measured():
    """Milliseconds of the engine and of plain Python; they must agree first."""
    within, runoff_l = record()
    days = run_lift(LIFT, runoff_l, within=within)
    ours = days[CAPTURED].sum(), days[OVERTOPPED].sum()
    np.testing.assert_allclose(plain_python(within, runoff_l), ours, rtol=1e-9)
    return {
        "engine": _median_ms(lambda: run_lift(LIFT, runoff_l, within=within), times=TIMES),
        "plain Python": _median_ms(lambda: plain_python(within, runoff_l), times=2),
    }


def report():
    """Print the milliseconds of both."""
    print(f"{'sump within the day, 30 years':36}{'steps':>12}{'ms':>10}")
    for what, milliseconds in measured().items():
        print(f"{what:36}{DAYS * STEPS:>12,}{milliseconds:>10.1f}")


def _median_ms(function, *, times):
    seconds = []
    for _ in range(times):
        start = time.perf_counter()
        function()
        seconds.append(time.perf_counter() - start)
    return 1000.0 * statistics.median(seconds)


if __name__ == "__main__":
    report()
