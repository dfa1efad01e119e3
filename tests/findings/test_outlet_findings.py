"""Checks on gravity lines: each fires, keeps silent, and its way out passes."""

import re
from dataclasses import replace

import pytest

from eavewell.findings.outlet import outlets_run
from eavewell.hydraulics.drip import watered
from eavewell.hydraulics.gravity import gravity_lines
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Emitter, Lateral, Outlet, Trough
from eavewell.site.pipe import Pipe
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.site.want import Animals
from eavewell.units import read

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


def printed(fix, pattern, quantity):
    """The size that a way out names, as the site file would read it."""
    return read(re.search(pattern, fix)[1], quantity)


def codes(site):
    return {one.code for one in found(site)}


def test_all_is_well(making):
    site = site_of(making, outlets=(TAP,), laterals=(ROW,), troughs=(TROUGH,))
    assert codes(site) == set()


def test_a_tap_above_the_low_water(making):
    high = replace(TAP, level_m=4.5)
    (finding,) = found(site_of(making, outlets=(high,)))
    assert finding.code == "outlet-above-water"
    # low water 4.1 m: 0.4 m too high, and 0.5 psi = 0.352 m over the tap, and the pipe's loss
    lower_m = printed(finding.fix, r"the outlet (.+?) lower", "length")
    assert 0.4 + 0.352 < lower_m < 0.4 + 0.352 + 0.1
    assert codes(site_of(making, outlets=(replace(high, level_m=4.5 - lower_m),))) == set()
    assert codes(site_of(making, 4.0 + lower_m, outlets=(high,))) == set()


def test_a_weak_tap_and_the_tank_raised(making):
    weak = replace(TAP, level_m=4.05)
    (finding,) = found(site_of(making, outlets=(weak,)))
    assert finding.code == "outlet-weak"
    more_m = printed(finding.fix, r"the outlet (.+?) lower", "length")
    assert codes(site_of(making, 4.0 + more_m, outlets=(weak,))) == set()


def test_a_filter_that_is_due_counts_when_the_tank_is_low(making):
    """At 0.1 L/s it loses 0.1 m clean and 10 m when it must be changed."""
    filters = InLine("filter", "filter", 0.1, 0.1, 10.0)
    site = site_of(making, outlets=(TAP,), laterals=(ROW,), troughs=(TROUGH,))
    fed = replace(site, lines=(replace(site.lines[0], in_line=(filters,)),))
    bare, due = (gravity_lines(one, peak_l_day={"use": DAY_L})[0] for one in (site, fed))
    assert due.outlets[0].flow_l_s[0] > 0.8 * bare.outlets[0].flow_l_s[0]
    assert due.outlets[0].flow_l_s[2] < 0.6 * bare.outlets[0].flow_l_s[2]
    assert due.troughs[0].refill_l_s < 0.7 * bare.troughs[0].refill_l_s
    assert min(due.laterals[0].low.plant_l_h) < min(bare.laterals[0].low.plant_l_h)
    assert "outlet-weak" not in codes(site)
    assert "outlet-weak" in codes(fed)
    lower = replace(TAP, level_m=TAP.level_m - due.outlets[0].lower_m)
    mended = replace(fed, lines=(replace(fed.lines[0], outlets=(lower,)),))
    assert "outlet-weak" not in codes(mended)


def test_a_lateral_on_the_ground_is_uneven_and_the_stand_mends_it(making):
    low = site_of(making, 0.3, laterals=(ROW,))
    lines = gravity_lines(low, peak_l_day={"use": DAY_L})
    (finding,) = [one for one in outlets_run(low, lines) if one.code == "drip-uneven"]
    raise_m = lines[0].laterals[0].raise_m
    assert raise_m > 0
    assert "higher" in finding.fix
    assert "drip-uneven" not in codes(site_of(making, 0.3 + raise_m, laterals=(ROW,)))


def test_emitters_made_to_keep_their_flow_do_not_open_under_a_barrel(making):
    """Rated at 10 m, under 0.4 m it is a plain hole: the root of 0.4 / 10 of its flow, a fifth."""
    kept = Emitter("keeps its flow", 4.0, 10.0, exponent=0.0, variation=0.03)
    row = replace(ROW, emitter=kept, plants=5, each=1)
    low = site_of(making, 0.3, laterals=(row,))
    (finding,) = [one for one in found(low) if one.code == "drip-uneven"]
    assert finding.measured == pytest.approx(0.2, rel=0.01)
    waters_m = (0.1, 0.4, 1.0, 4.0, 9.0, 9.9, 10.05, 11.0, 20.0)
    shares = [watered(low.lines[0], row, water_m=water_m).least_share for water_m in waters_m]
    assert shares == sorted(shares)
    assert 0.95 < shares[-3] < 1.05
    assert shares[-1] < 1.2


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
    each = int(finding.fix.split()[0])
    assert codes(site_of(making, laterals=(replace(thirsty, each=each),))) == set()
    fewer = replace(thirsty, each=each - 1)
    assert "drip-too-slow" in codes(site_of(making, laterals=(fewer,)))
    hopeless = replace(ROW, plant_l_day=5000.0)
    (finding,) = found(site_of(making, laterals=(hopeless,)))
    assert finding.fix == "emitters of a larger flow"


@pytest.mark.parametrize("mesh_mm", [0.0, 0.5])
def test_emitters_without_a_fine_filter(making, mesh_mm):
    bare = replace(ROW, mesh_mm=mesh_mm)
    (finding,) = found(site_of(making, laterals=(bare,)))
    assert finding.code == "drip-filter"
    # one seventh of 1 mm, as printed in either system
    mesh = printed(finding.fix, r"a filter of (.+?) or finer", "mesh")
    assert mesh == pytest.approx(0.14, abs=0.003)
    assert codes(site_of(making, laterals=(replace(ROW, mesh_mm=mesh),))) == set()


def test_an_unknown_filter_is_said(making):
    assert codes(site_of(making, laterals=(replace(ROW, mesh_mm=None),))) == {"drip-filter-unknown"}


def test_a_slow_trough_and_one_with_its_flow(making):
    slow = replace(TROUGH, valve_l_s=0.02)
    (finding,) = found(site_of(making, troughs=(slow,)))
    assert finding.code == "trough-refills-slowly"
    # 800 L in four hours
    assert finding.limit == pytest.approx(800 / 4 / 3600)
    named = printed(finding.fix, r"line of (.*) with the tank low", "flow")
    assert finding.limit <= named < 1.2 * finding.limit
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
    limiter = printed(finding.fix, r"a flow limiter of (.+)$", "bleed") / 3600.0
    # pi/4 x 3 m x 3 m x 2.9 m in 48 hours
    assert limiter == pytest.approx(1000 * 3.14159 / 4 * 9 * 2.8 / 48 / 3600, rel=0.05)
    assert codes(site_of(making, troughs=(replace(TROUGH, limiter_l_s=limiter),))) == set()


def test_a_limiter_that_would_starve_the_stock_is_not_named(making):
    site = site_of(making, troughs=(replace(TROUGH, limiter_l_s=None),))
    lines = gravity_lines(site, peak_l_day={"use": 6000.0})
    (finding,) = [one for one in outlets_run(site, lines) if one.code == "float-stuck"]
    assert "limiter" not in finding.fix


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


def test_what_nobody_says_of_trough_and_plants_is_named(making):
    far = replace(TROUGH, walk_m=None)
    herd = replace(TROUGH, name="herd", walk_m=900.0, edge_m=None)
    row = replace(ROW, plant_l_day=None)
    site = site_of(making, laterals=(row,), troughs=(far, herd))
    (note,) = [one for one in found(site) if one.code == "line-not-checked"]
    for words in ("how far those walk", "edge of 'herd'", "water of a plant on 'row'"):
        assert words in note.says
