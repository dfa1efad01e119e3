"""Checks on gravity lines: each fires, keeps silent, and its way out passes."""

from dataclasses import replace

import pytest

from eavewell.findings.outlet import outlets_run
from eavewell.hydraulics.gravity import gravity_lines
from eavewell.site.line import Line
from eavewell.site.outlet import Emitter, Lateral, Outlet, Trough
from eavewell.site.pipe import Pipe
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.site.want import Animals

EMITTER = Emitter("drip", rated_l_h=4.0, rated_m=7.0, passage_mm=1.0, variation=0.03)
ROW = Lateral(
    "row", 20, EMITTER, 0.5, 13.0, level_m=0.0, plant_l_day=4.0, mesh_mm=0.1, waters="use"
)
TAP = Outlet("tap", "bucket tap", level_m=0.5)
TROUGH = Trough(
    "trough",
    500.0,
    waters="use",
    valve_l_s=0.5,
    valve_m=2.0,
    level_m=0.5,
    walk_m=100.0,
    edge_m=4.0,
    ramp=True,
    limiter_l_s=0.1,
)
DAY_L = 800.0


def site_of(making, base_m=4.0, *, outlets=(), laterals=(), troughs=()):
    tank = Tank("tank", shape=UprightCylinder(3.0, 3.0), base_m=base_m, outlet_m=0.1)
    line = Line(
        "yard", "tank", Pipe(32.0, 20.0), outlets=outlets, laterals=laterals, troughs=troughs
    )
    use = replace(making.use(name="use"), wants=(Animals("beef cow", 40),))
    return making.site(tanks=(tank,), lines=(line,), uses=(use,))


def found(site):
    lines = gravity_lines(site, peak_l_day={"use": DAY_L})
    return list(outlets_run(site, lines))


def codes(site):
    return {one.code for one in found(site)}


def test_all_is_well(making):
    site = site_of(making, outlets=(TAP,), laterals=(ROW,), troughs=(TROUGH,))
    assert codes(site) == set()


def test_a_tap_above_the_low_water(making):
    high = replace(TAP, level_m=4.5)
    (finding,) = found(site_of(making, outlets=(high,)))
    assert finding.code == "outlet-above-water"
    # low water 4.1 m: 0.4 m too high, and 0.5 psi = 0.352 m over the tap
    needed = -finding.measured + 0.3516
    lower = replace(high, level_m=high.level_m - needed - 0.01)
    assert "outlet-above-water" not in codes(site_of(making, outlets=(lower,)))


def test_a_weak_tap_and_the_tank_raised(making):
    weak = replace(TAP, level_m=4.05)
    (finding,) = found(site_of(making, outlets=(weak,)))
    assert finding.code == "outlet-weak"
    static = 4.1 - 4.05
    more = static * ((finding.limit / finding.measured) ** 2 - 1)
    raised = site_of(making, 4.0 + more * 1.02, outlets=(weak,))
    assert codes(raised) == set()


def test_a_lateral_on_the_ground_is_uneven_and_the_stand_mends_it(making):
    low = site_of(making, 0.3, laterals=(ROW,))
    lines = gravity_lines(low, peak_l_day={"use": DAY_L})
    (finding,) = [one for one in outlets_run(low, lines) if one.code == "drip-uneven"]
    raise_m = lines[0].laterals[0].raise_m
    assert raise_m > 0
    assert "higher" in finding.fix
    assert "drip-uneven" not in codes(site_of(making, 0.3 + raise_m, laterals=(ROW,)))


def test_too_many_plants_on_one_line(making):
    long = replace(ROW, plants=190, spacing_m=1.0, bore_mm=6.0)
    site = site_of(making, laterals=(long,))
    lines = gravity_lines(site, peak_l_day={"use": DAY_L})
    carries = lines[0].laterals[0].carries
    (finding,) = [one for one in outlets_run(site, lines) if one.code == "drip-uneven"]
    assert f"at most {carries} plants" in finding.fix
    fewer = replace(long, plants=carries)
    assert "drip-uneven" not in codes(site_of(making, laterals=(fewer,)))
    more = replace(long, plants=carries + 1)
    assert "drip-uneven" in codes(site_of(making, laterals=(more,)))


def test_a_plant_that_waits_all_day(making):
    thirsty = replace(ROW, plant_l_day=60.0)
    (finding,) = found(site_of(making, laterals=(thirsty,)))
    assert (finding.code, finding.limit) == ("drip-too-slow", 12)
    times = int(finding.fix.split()[0])
    assert codes(site_of(making, laterals=(replace(thirsty, each=times),))) == set()


@pytest.mark.parametrize("mesh_mm", [0.0, 0.5])
def test_emitters_without_a_fine_filter(making, mesh_mm):
    bare = replace(ROW, mesh_mm=mesh_mm)
    (finding,) = found(site_of(making, laterals=(bare,)))
    assert finding.code == "drip-filter"
    # one seventh of 1 mm
    assert codes(site_of(making, laterals=(replace(ROW, mesh_mm=0.14),))) == set()


def test_an_unknown_filter_is_said(making):
    assert codes(site_of(making, laterals=(replace(ROW, mesh_mm=None),))) == {"drip-filter-unknown"}


def test_a_slow_trough_and_one_with_its_flow(making):
    slow = replace(TROUGH, valve_l_s=0.02)
    (finding,) = found(site_of(making, troughs=(slow,)))
    assert finding.code == "trough-refills-slowly"
    # 800 L in four hours
    assert finding.limit == pytest.approx(800 / 4 / 3600)
    wide = replace(slow, valve_l_s=0.1)
    assert codes(site_of(making, troughs=(wide,))) == set()


def test_a_herd_needs_a_quarter_held_and_room_to_drink(making):
    far = replace(TROUGH, walk_m=500.0, volume_l=150.0, edge_m=1.0)
    by_code = {one.code: one for one in found(site_of(making, troughs=(far,)))}
    assert by_code["trough-too-small"].limit == pytest.approx(200)
    # 40 head, a tenth drink together, 0.6 m each
    assert by_code["trough-edge-short"].limit == pytest.approx(2.4)
    mended = replace(far, volume_l=200.0, edge_m=2.4)
    assert codes(site_of(making, troughs=(mended,))) == set()


def test_a_float_that_sticks_and_a_limiter(making):
    open_one = replace(TROUGH, limiter_l_s=None)
    (finding,) = found(site_of(making, troughs=(open_one,)))
    assert finding.code == "float-stuck"
    held = 1000 * 3.14159 / 4 * 9 * 2.9
    assert (
        codes(site_of(making, troughs=(replace(TROUGH, limiter_l_s=0.99 * held / 48 / 3600),)))
        == set()
    )


@pytest.mark.parametrize(
    ("ramp", "code"), [(False, "trough-without-way-out"), (None, "trough-way-out-unknown")]
)
def test_a_way_out_for_small_animals(making, ramp, code):
    assert codes(site_of(making, troughs=(replace(TROUGH, ramp=ramp),))) == {code}


def test_what_is_unknown_is_said_once_a_line(making):
    site = site_of(
        making,
        outlets=(replace(TAP, level_m=None),),
        troughs=(replace(TROUGH, valve_l_s=None),),
    )
    (finding,) = found(site)
    assert finding.code == "line-not-checked"
    assert "level of 'tap'" in finding.says
    assert "valve of 'trough'" in finding.says
    no_levels = replace(site, tanks=(replace(site.tanks[0], base_m=None),))
    assert codes(no_levels) == {"line-not-checked"}
