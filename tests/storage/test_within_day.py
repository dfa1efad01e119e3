"""A sump within the day against a loop in plain Python; rain is invented."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from eavewell.faults import OutOfRange
from eavewell.site.lift import Lift
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.balance import run
from eavewell.storage.with_captured import with_captured
from eavewell.storage.within_day import SumpLift, capture, run_lift, sumps_reckoned

STEPS = 288
LIFT = SumpLift("lift", "sump", "tank", 100.0, 378.0, 6.0, 2.0, 2.4)


class SlowSump:
    """A sump and its pump in fifths of a second; shares no code with the engine."""

    def __init__(self, lift):
        self.lift, self.held, self.riser, self.running = lift, 0.0, 0.0, False

    def day(self, steps, powered=True):
        """Captured, overtopped and what stands in sump and riser in the evening."""
        if self.running and not powered:
            self.running, self.held, self.riser = False, self.held + self.riser, 0.0
        found = np.array([self.step(runoff, 86400 // len(steps), powered) for runoff in steps])
        return (*found.sum(axis=0), self.held + self.riser)

    def step(self, runoff_l, seconds, powered=True):
        """Captured and overtopped of one step of rain."""
        captured = over = 0.0
        if runoff_l > 0.0 or self.running or (powered and self.held >= self.lift.start_l):
            for _ in range(5 * seconds):
                self.held += runoff_l / (5 * seconds)
                captured += self._pumped(powered)
                over += max(self.held - self.lift.spill_l, 0.0)
                self.held = min(self.held, self.lift.spill_l)
        return captured, over

    def _pumped(self, powered):
        self.running = self.running or (powered and self.held >= self.lift.start_l)
        if not self.running:
            return 0.0
        slope = (self.lift.high_l_s - self.lift.low_l_s) / self.lift.spill_l
        moved = min((self.lift.low_l_s + slope * self.held) / 5, self.held)
        self.held -= moved
        fills = min(self.lift.back_l - self.riser, moved)
        self.riser += fills
        if self.held <= 0.0:
            self.running, self.held, self.riser = False, self.riser, 0.0
        return moved - fills


def rain(rows, seed, wet=0.1, mean_mm=1.5):
    """Steps of rain of some days, each with at least one wet step."""
    rng = np.random.default_rng(seed)
    shape = (len(rows), STEPS)
    depths = np.where(rng.random(shape) < wet, rng.exponential(mean_mm, shape), 0.0)
    depths[:, 7] += 0.5
    return SimpleNamespace(rows=np.array(rows), steps_mm=depths.astype(np.float32))


def runoff(within, days, area_m2=465.0, share=0.85):
    out = np.zeros(days)
    out[within.rows] = within.steps_mm.astype(float).sum(axis=1) * area_m2 * share
    return out


def by_steps(within, runoff_l):
    """Runoff of each step of each day; a day without a shape spreads evenly."""
    found = np.repeat(runoff_l[:, None] / STEPS, STEPS, axis=1)
    depths = within.steps_mm.astype(float)
    found[within.rows] = depths / depths.sum(axis=1)[:, None] * runoff_l[within.rows, None]
    return found


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("back_l", [0.0, 6.0])
def test_agrees_with_the_slow_loop(seed, back_l):
    within = rain([0, 1, 3, 6], seed)
    runoff_l, power = runoff(within, 8), np.arange(8) != 3
    runoff_l[5] = 900.0
    lift = SumpLift("lift", "sump", "tank", 100.0, 378.0, back_l, 2.0, 2.4)
    out = run_lift(lift, runoff_l, within=within, power=power)
    slow = SlowSump(lift)
    steps = by_steps(within, runoff_l)
    found = np.array([slow.day(day, on) for day, on in zip(steps, power, strict=True)]).T
    # A step starts the pump a step late.
    near = {"rtol": 6e-3, "atol": 30.0}
    np.testing.assert_allclose(out[2], found[0], **near)
    np.testing.assert_allclose(out[3], found[1], **near)
    np.testing.assert_allclose(out[0], found[2], rtol=0, atol=30.0)


def test_gentle_rain_is_caught_whole_and_a_cloudburst_hardly():
    """By hand: 1,000 L an hour is 0.28 L/s; 40,000 L in an hour is 11.1 L/s against 2 to 2.4."""
    depths = np.zeros((2, 24), dtype=np.float32)
    depths[:, 10] = 1.0
    within = SimpleNamespace(rows=np.array([0, 2]), steps_mm=depths)
    out = run_lift(LIFT, np.array([1000.0, 0.0, 40_000.0, 0.0]), within=within)
    assert out[3][0] == 0.0
    # Full before the hour is over, then pumps 2.4 L/s; afterwards it empties 378 L.
    assert 3600 * 2.0 < out[2][2] < 3600 * 2.4 + 378.0
    assert out[2][2] + out[3][2] + out[0][2] == pytest.approx(40_000.0 + out[0][1])


def test_without_power_all_but_one_sump_overtops():
    within = rain([0], 1)
    out = run_lift(LIFT, np.array([5000.0]), within=within, power=np.array([False]))
    assert (out[2][0], out[3][0], out[0][0]) == pytest.approx((0.0, 5000.0 - 378.0, 378.0))


def test_the_power_comes_back_and_the_sump_empties_on_a_dry_day():
    within = rain([0], 1)
    out = run_lift(LIFT, np.array([5000.0, 0.0]), within=within, power=np.array([False, True]))
    assert out[2][1] == pytest.approx(378.0 - LIFT.back_l)
    assert out[0][1] == pytest.approx(LIFT.back_l)


def test_a_spillway_below_the_start_level_never_pumps():
    lift = SumpLift("lift", "sump", "tank", 100.0, 80.0, 0.0, 2.0, 2.4)
    out = run_lift(lift, np.array([5000.0]), within=rain([0], 1))
    assert out[3][0] == pytest.approx(5000.0 - 80.0)


@pytest.mark.parametrize("flows", [(2.0, 2.0), (2.0, 2.0 + 1e-12), (1e-6, 2.0), (0.0, 0.5)])
@pytest.mark.parametrize("area_m2", [1.0, 465.0, 5000.0])
def test_no_water_is_made_or_lost(flows, area_m2):
    within = rain(range(0, 60, 2), 4)
    lift = SumpLift("lift", "sump", "tank", 100.0, 378.0, 6.0, *flows)
    out = run_lift(lift, runoff(within, 60, area_m2), within=within)
    assert (out[:4] >= -1e-9).all()
    assert out[0].max() <= 378.0 + 6.0 + 1e-6


@pytest.mark.parametrize("seed", range(150))
def test_no_water_is_made_or_lost_in_any_sump(seed):
    """Sizes and flows over many powers of ten; round numbers that meet exactly among them."""
    rng = np.random.default_rng(seed)
    spill = rng.choice([5.0, 50.0, 400.0, 1e5])
    start = max(1.0, spill * rng.choice([0.01, 0.3, 0.5, 1.0, 1.5]))
    flows = sorted(rng.choice([0.0, 0.1, 1.0, 2.0, 2.0 + 1e-9, 40.0], 2))
    lift = SumpLift("lift", "sump", "tank", start, spill, rng.choice([0.0, 0.4, 9.0]), *flows)
    within = rain(range(0, 20, 2), seed, wet=rng.choice([0.01, 0.3]))
    if seed % 3 == 0:
        within.steps_mm[:] = 1.0
    runoff_l = runoff(within, 21, area_m2=rng.choice([1.0, 100.0, 3000.0]))
    if seed % 3 == 0:
        runoff_l[within.rows] = 86400.0 * rng.choice([0.1, 1.0, 2.0])
    power = rng.random(21) > 0.1
    out = run_lift(lift, runoff_l, within=within, power=power)
    assert (out >= -1e-7).all()
    assert (out[2][~power] == 0.0).all()
    assert (out[0] <= spill + lift.back_l + 1e-7).all()


def test_a_lift_that_cannot_be_is_refused():
    with pytest.raises(OutOfRange, match="above the stop"):
        run_lift(replace(LIFT, start_l=0.0), np.ones(1), within=rain([0], 1))
    with pytest.raises(OutOfRange, match="fuller"):
        run_lift(replace(LIFT, high_l_s=1.0), np.ones(1), within=rain([0], 1))


def test_a_larger_sump_or_pump_captures_no_less():
    within = rain(range(40), 9)
    runoff_l = runoff(within, 40)

    def captured(size, flow):
        lift = SumpLift("lift", "sump", "tank", 60.0, size, 0.0, flow, flow)
        return run_lift(lift, runoff_l, within=within)[2].sum()

    sizes = [captured(size, 2.0) for size in (100.0, 200.0, 400.0, 800.0)]
    pumps = [captured(378.0, flow) for flow in (0.5, 1.0, 2.0, 4.0, 8.0)]
    assert sizes == sorted(sizes)
    assert pumps == sorted(pumps)
    assert captured(1e7, 2.0) + 1e4 > runoff_l.sum()


def _site(making, **fields):
    sump = making.tank(378.0, "sump", is_sump=True)
    return making.site(
        roofs=(making.roof(465.0, "sump"), making.roof(100.0, "tank", "high")),
        tanks=(making.tank(20_000.0), sump),
        lifts=(Lift("lift", "sump", "tank"),),
        **fields,
    )


def _water(making, within, days):
    depth = runoff(within, days, area_m2=1.0)
    return making.series(np.column_stack([depth, depth]), np.full(days, 500.0))


def test_captured_by_size_of_storm_and_with_the_power_out(making):
    site, within = _site(making), rain(range(0, 365, 9), 3, mean_mm=0.3)
    within.steps_mm[5:8] *= 8.0
    (one,) = capture(site, _water(making, within, 365), within=within, lifts=[LIFT])
    shares = [found.captured_share for found in one.classes if found.days]
    assert shares[0] > shares[-1]
    assert sum(found.runoff_l for found in one.classes) == pytest.approx(one.runoff_l.sum())
    (year,) = one.years
    assert year.captured_l > year.without_1_l > year.without_3_l
    left = one.captured_l.sum() + one.overtopped_l.sum()
    assert one.captured_share == pytest.approx(one.captured_l.sum() / left)
    assert one.spread_days == 0


def test_only_sumps_that_roofs_fill_are_reckoned(making):
    site = _site(making)
    assert sumps_reckoned(site) == {"sump"}
    thirsty = making.use(draws_from=("sump",))
    assert not sumps_reckoned(_site(making, uses=(thirsty,)))
    header = Lift("lift", "sump", "tank", target_start_share=0.5)
    assert not sumps_reckoned(replace(site, lifts=(header,)))
    assert not sumps_reckoned(replace(site, lifts=(*site.lifts, Lift("second", "sump", "tank"))))


def test_two_stores_in_five_minutes_agree_with_the_daily_engine(making):
    """Under yield before spillage the day's want is drawn after the captured water has come."""
    site, days = _site(making, rule="ybs"), 400
    within = rain(range(0, days, 7), 11, mean_mm=0.8)
    water = _water(making, within, days)
    captured = capture(site, water, within=within, lifts=[LIFT])
    moved, daily = with_captured(site, water, captured=captured)
    balance = run(arrange(moved, daily, lanes=lanes_as_drawn(moved)), keep_lane=0)
    held, drawn, spilled = _two_stores(by_steps(within, water.runoff_mm[:, 0] * 465.0), water)
    assert balance.sums.supplied_l.sum() == pytest.approx(drawn, rel=0.01)
    assert balance.away_l[0] == pytest.approx(spilled, rel=0.02)
    assert balance.end_l[0, 0] == pytest.approx(held, abs=600.0)


def _two_stores(steps, water, want_l=500.0, full_l=20_000.0):
    """Sump and tank within the day; the tank's overflow stands for the sump's while it is full."""
    sump, held, drawn, spilled = SlowSump(LIFT), 0.0, 0.0, 0.0
    for day, runoff_l in enumerate(steps):
        for five_minutes in runoff_l:
            took = min(want_l / STEPS, held)
            held, drawn = held - took, drawn + took
            captured, over = sump.step(five_minutes, 300)
            held += captured
            spilled += over + max(held - full_l, 0.0)
            held = min(held, full_l)
        held += water.runoff_mm[day, 1] * 100.0
        spilled += max(held - full_l, 0.0)
        held = min(held, full_l)
    return held, drawn, spilled


def test_the_closing_balance_counts_captured_and_overtopped(making):
    site, days = _site(making), 200
    within = rain(range(0, days, 5), 2, mean_mm=2.0)
    water = _water(making, within, days)
    (one,) = capture(site, water, within=within, lifts=[LIFT])
    moved, daily = with_captured(site, water, captured=[one])
    balance = run(arrange(moved, daily, lanes=lanes_as_drawn(moved)), keep_lane=0)
    from_roofs = water.runoff_mm @ np.array([465.0, 100.0])
    assert balance.inflow_l[0] == pytest.approx(from_roofs.sum() - one.held_l[-1], rel=1e-12)
    assert balance.every_day.spilled_l[:, 1] == pytest.approx(one.overtopped_l)
    assert balance.area_m2.sum() == pytest.approx(565.0)
    assert abs(one.error_l) < 1e-6
