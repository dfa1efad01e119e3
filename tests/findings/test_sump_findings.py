"""Each check on a sump's lift fires, stays silent, and its fix passes; every site is invented."""

import re
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from eavewell.files.site.generic_pumps import generic_pump
from eavewell.findings.sump import sump_lifts
from eavewell.hydraulics.sump_sizes import sump_sizes
from eavewell.site.ground import Ground
from eavewell.site.pipe import Pipe
from eavewell.site.place import Place
from eavewell.site.tank_fittings import Overflow, TankFittings
from eavewell.site.tank_shape import Box
from eavewell.storage.within_day import capture
from eavewell.units import read

# 500 L last half an hour at 2 mm/h.
GENTLE_MM_H = 2.0


@pytest.fixture
def found(making, made_up_lift):
    def _found(mm_h=GENTLE_MM_H, **fields):
        site = made_up_lift.barn(making, **fields)
        lifted = made_up_lift.lifted(site, mm_h)
        findings = sump_lifts(site, lifted, captured=_gentle(making, site, lifted))
        return {one.code: one for one in findings}

    return _found


def _rain(steps_mm):
    return SimpleNamespace(rows=np.array([0]), steps_mm=np.asarray(steps_mm, dtype=np.float32))


def _gentle(making, site, lifted):
    """Two days, 1 mm on the first."""
    water = making.series(np.array([1.0, 0.0]), np.zeros(2))
    return capture(site, water, within=_rain([[0.5, 0.5]]), lifts=lifted.numbers)


def test_a_sound_sump_has_no_finding(found):
    assert found() == {}


@pytest.mark.parametrize(
    ("code", "level", "wrong", "right"),
    [
        ("lift-no-check-valve", "fix", {"check_valve": False}, {"check_valve": True}),
        ("lift-no-full-float", "fix", {"full_float": False}, {"full_float": True}),
        ("lift-no-alarm", "fix", {"alarm": False}, {"alarm": True}),
        ("lift-one-pump", "watch", {"second_pump": False}, {"second_pump": True}),
        ("solids-stop-pump", "fix", {"solids_mm": 13.0}, {"solids_mm": 12.7}),
    ],
)
def test_parts(found, made_up_lift, code, level, wrong, right):
    one = found(up=made_up_lift.lift(**wrong))[code]
    assert one.level == level
    assert one.fix
    assert code not in found(up=made_up_lift.lift(**right))


@pytest.mark.parametrize("show", ["us", "metric"])
@pytest.mark.parametrize("solids_mm", [9.525, 12.7, 6.35])
def test_the_strainer_it_names_keeps_out_what_stops_the_pump(found, made_up_lift, show, solids_mm):
    pump = replace(generic_pump("1/2 hp sump"), solids_mm=solids_mm)
    place = Place(30.0, -98.0, 400.0, show=show)
    one = found(up=made_up_lift.lift(pump=pump, solids_mm=20.0), place=place)["solids-stop-pump"]
    mesh_mm = read(re.search(r"strainer of (.+?) or finer", one.fix)[1], "bore")
    kept = made_up_lift.lift(pump=pump, solids_mm=mesh_mm)
    assert "solids-stop-pump" not in found(up=kept, place=place)


@pytest.mark.parametrize("show", ["us", "metric"])
def test_floats_set_as_they_are_named_are_in_order(found, made_up_lift, show):
    """The pit is of 1 m2: a litre is a millimetre."""
    place = Place(30.0, -98.0, 400.0, show=show)
    one = found(up=made_up_lift.lift(start_m=0.2), place=place)["floats-in-one-place"]
    start_m = read(re.search(r"float at (.+) or higher", one.fix)[1], "volume") / 1000.0
    assert "floats-in-one-place" not in found(up=made_up_lift.lift(start_m=start_m), place=place)
    high = made_up_lift.sump(overflow_m=1.1003)
    one = found(up=made_up_lift.lift(start_m=1.2), pit=high, place=place)["start-above-spillway"]
    start_m = read(re.search(r"float below (.+)", one.fix)[1], "volume") / 1000.0
    just = made_up_lift.lift(start_m=start_m - 1e-6)
    assert "start-above-spillway" not in found(up=just, pit=high, place=place)


def test_a_full_riser_in_frost(found, made_up_lift):
    frost = Ground(floor_m=0.1, coldest_c=-8.0)
    assert found(ground=frost)["riser-freezes"].measured == -8.0
    weeping = made_up_lift.lift(weep_hole=True)
    assert "riser-freezes" not in found(ground=frost, up=weeping)


def test_the_pump_never_lifts(found, made_up_lift):
    """From 0.2 above -1.6 to 8 m: 9.4 m against a shut-off of 28 ft, 8.53 m."""
    one = found(up=made_up_lift.lift(let_go_m=8.0))["pump-below-head"]
    assert (one.level, one.measured) == ("stop", pytest.approx(9.4))
    assert one.limit == pytest.approx(28 * 0.3048)
    assert "no water at all" in one.says
    other = generic_pump(re.search(r"generic (.+)", one.fix)[1])
    assert "pump-below-head" not in found(up=made_up_lift.lift(let_go_m=8.0, pump=other))


def test_a_pump_that_does_not_draw_down_to_its_stop(found, made_up_lift):
    """Lift of 8.6 m from the stop, 8.2 m from the start."""
    one = found(up=made_up_lift.lift(let_go_m=7.2))["pump-below-head"]
    assert "never draws the sump down" in one.says


@pytest.mark.parametrize("mm_h", [18.0, 25.0])
def test_a_storm_beyond_the_pump(found, made_up_lift, mm_h):
    small = made_up_lift.lift(pump=generic_pump("1/3 hp sump"))
    one = found(mm_h, up=small)["sump-below-storm"]
    assert one.level == "watch"
    assert one.measured == pytest.approx(mm_h * 464.515 / 3600, rel=1e-4)
    other = generic_pump(re.search(r"generic (.+)", one.fix)[1])
    assert "sump-below-storm" not in found(mm_h, up=replace(small, pump=other))


def test_no_generic_pump_keeps_up_with_a_cloudburst(found):
    assert "accept the spillway" in found(200.0)["sump-below-storm"].fix


def test_no_spillway(found, made_up_lift):
    bare = made_up_lift.sump(fittings=TankFittings(), overflow_m=None)
    assert found(pit=bare)["sump-no-spillway"].level == "stop"


def test_a_spillway_above_the_floor(found):
    """It spills at -0.5 m."""
    one = found(ground=Ground(floor_m=-0.6, coldest_c=5.0))["spillway-above-floor"]
    assert (one.level, one.measured, one.limit) == ("stop", pytest.approx(-0.5), -0.6)
    assert "spillway-above-floor" not in found(ground=Ground(floor_m=-0.4, coldest_c=5.0))


def test_a_spillway_too_small(found, made_up_lift):
    """Two inches carry 3.6 L/s under 0.37 m; 100 mm/h bring 12.9 L/s."""
    small = made_up_lift.sump(fittings=TankFittings(overflow=Overflow(pipe=Pipe(52.5, 5.0))))
    one = found(100.0, pit=small)["spillway-too-small"]
    assert one.level == "stop"
    assert one.measured == pytest.approx(12.9, rel=0.01)
    inches = re.search(r"of (.+)", one.fix)[1]
    larger = TankFittings(overflow=Overflow(pipe=Pipe(read(inches, "bore"), 5.0)))
    assert "spillway-too-small" not in found(100.0, pit=made_up_lift.sump(fittings=larger))


def test_no_pipe_carries_it_at_so_little_freeboard(found, made_up_lift):
    brimming = made_up_lift.sump(overflow_m=1.45)
    assert "no single pipe" in found(200.0, pit=brimming)["spillway-too-small"].fix


def test_minutes_to_overtop(found, made_up_lift):
    """500 L at 20 mm/h, 2.58 L/s: 3.2 minutes; the fix is a wider pit."""
    one = found(20.0)["sump-spills-soon"]
    assert one.measured == pytest.approx(500 / 2.5806 / 60, rel=1e-3)
    litres = read(re.search(r"(.+?) between", one.fix)[1], "volume")
    wide = made_up_lift.sump(shape=Box(litres / 500.0, 1.0, 1.5))
    assert "sump-spills-soon" not in found(20.0, pit=wide)


def test_starts_often_and_runs_short(found, made_up_lift):
    """20 L between the floats."""
    near = made_up_lift.lift(start_m=0.22)
    findings = found(up=near)
    for code in ("pump-starts-often", "pump-runs-short"):
        litres = read(re.search(r"(.+?) between", findings[code].fix)[1], "volume")
        apart = replace(near, start_m=0.2 + litres / 1000.0)
        assert code not in found(up=apart)
    assert findings["pump-starts-often"].limit == 15


def test_a_pit_too_small_for_its_pump_asks_for_a_larger_one(found, made_up_lift):
    slim = made_up_lift.sump(shape=Box(0.25, 0.25, 1.5))
    assert "a sump larger than" in found(pit=slim)["pump-starts-often"].fix


def test_a_riser_that_gives_all_back(found, made_up_lift):
    up = made_up_lift.lift(weep_hole=True, start_m=0.215)
    one = found(up=up)["riser-gives-all-back"]
    assert (one.level, one.measured) == ("stop", pytest.approx(15.0))
    assert "riser-gives-all-back" not in found(up=replace(up, weep_hole=False))


def test_a_start_above_the_spillway(found, made_up_lift):
    one = found(up=made_up_lift.lift(start_m=1.2))["start-above-spillway"]
    assert (one.measured, one.limit) == pytest.approx((1200.0, 1100.0))
    assert "start-above-spillway" not in found(up=made_up_lift.lift(start_m=1.0))


def test_floats_in_one_place(found, made_up_lift):
    one = found(up=made_up_lift.lift(start_m=0.2))["floats-in-one-place"]
    assert (one.level, one.measured) == ("stop", pytest.approx(200.0))
    assert "floats-in-one-place" not in found(up=made_up_lift.lift(start_m=0.21))


def test_what_is_unknown_is_one_note(found, made_up_lift):
    bare = made_up_lift.lift(
        pump=None, riser=None, check_valve=None, full_float=None, alarm=None, solids_mm=None
    )
    findings = found(None, up=bare, ground=Ground())
    assert set(findings) == {"lift-not-checked", "sump-on-a-daily-step"}
    assert "pump, riser, design storm, lowest floor" in findings["lift-not-checked"].says
    assert findings["lift-not-checked"].level == "note"


def test_a_motor_of_unknown_power_is_said(found, made_up_lift):
    pump = replace(generic_pump("1/2 hp sump"), motor_w=None)
    note = found(up=made_up_lift.lift(pump=pump))["lift-not-checked"]
    assert note.says == "Not checked: power of the pump's motor unknown."


def test_a_lift_that_captures_little(making, made_up_lift):
    """Three hours of 30 mm/h against some 17 mm/h of the pump."""
    site = made_up_lift.barn(making, up=made_up_lift.lift(pump=generic_pump("1/3 hp sump")))
    lifted = made_up_lift.lifted(site, GENTLE_MM_H)
    hours = np.zeros((1, 24))
    hours[0, 9:12] = 30.0
    water, within = making.series(np.array([90.0, 0.0]), np.zeros(2)), _rain(hours)
    (duty,) = lifted.lifts
    sizes = {"up": sump_sizes(site, water, within=within, duty=duty)}
    captured = capture(site, water, within=within, lifts=lifted.numbers)
    findings = {one.code: one for one in sump_lifts(site, lifted, captured=captured, sizes=sizes)}
    one = findings["sump-captures-little"]
    assert one.measured < 0.9
    litres, name = re.search(r"a sump of (.+) with (.+)", one.fix).groups()
    wide = made_up_lift.sump(shape=Box(read(litres, "volume") / 1100.0, 1.0, 1.5))
    fixed = made_up_lift.barn(making, pit=wide, up=made_up_lift.lift(pump=generic_pump(name)))
    lifted = made_up_lift.lifted(fixed, GENTLE_MM_H)
    captured = capture(fixed, water, within=within, lifts=lifted.numbers)
    codes = {one.code for one in sump_lifts(fixed, lifted, captured=captured)}
    assert "sump-captures-little" not in codes
