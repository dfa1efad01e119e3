"""Each check on pipes fires, stays silent, and its computed fix passes; all sites invented."""

import re
from dataclasses import replace

import pytest

from eavewell.findings.conveyance import pipes_carry
from eavewell.hydraulics.pipe_changes import main_change
from eavewell.hydraulics.standard_sizes import standard_bores
from eavewell.site.ground import Ground
from eavewell.site.pipe import Pipe
from eavewell.site.roof import Snow
from eavewell.units import read

SIZE = r"-?[\d,.]+ (?:ft \d+ in|in/ft|ft|in|%|m)(?![\w/])"


@pytest.fixture(scope="module")
def p(made_up_pipes):
    return made_up_pipes


@pytest.fixture(scope="module")
def found(p):
    """Findings by code; two of one code fail."""

    def checked(whole, mm_h=100.0):
        findings = list(pipes_carry(whole, p.conveyed(whole, mm_h)))
        by_code = {finding.code: finding for finding in findings}
        assert len(by_code) == len(findings)
        return by_code

    return checked


def the_size(text, after, quantity):
    """The size that stands behind some words."""
    return read(re.search(re.escape(after) + rf" ?({SIZE})", text)[1], quantity)


def bore_called(name):
    return dict(standard_bores())[name]


def test_silent_where_all_is_well_and_where_nothing_is_described(p, found):
    assert found(p.site(p.dry())) == {}
    assert found(p.site(p.wet())) == {}
    assert found(p.site()) == {}


def test_no_storm_is_said_once(p, found):
    steep = {"fall": 0.04}
    whole = p.site(p.dry("one", **steep), p.dry("two", **steep), p.wet("three"))
    assert set(found(whole, mm_h=None)) == {"pipe-storm-unknown"}
    note = found(p.site(p.dry()), mm_h=None)["pipe-storm-unknown"]
    assert note.level == "note"
    assert "Not checked" in note.says
    assert note.measured is note.limit is None


def test_no_length(p, found):
    short = p.dry(pipe=Pipe(100.0, 0.0))
    finding = found(p.site(short))["pipe-without-length"]
    assert finding.level == "stop"
    assert found(p.site(replace(short, pipe=p.FOUR_INCH))) == {}


def test_in_a_circle(p):
    whole = p.site(p.wet("one", to="two"), p.wet("two", to="one"))
    codes = [finding.code for finding in pipes_carry(whole, p.conveyed(whole))]
    assert codes == ["pipes-in-a-circle"] * 2


def test_fall_unknown(p, found):
    note = found(p.site(p.dry(from_m=None)))["pipe-fall-unknown"]
    assert note.level == "note"
    assert note.measured is None


@pytest.mark.parametrize(("start_m", "code"), [(2.9, "pipe-rises"), (3.0, "pipe-level")])
def test_against_the_fall(p, found, start_m, code):
    run, tanks = p.dry(from_m=start_m), (p.tank(base_m=-1.0),)
    finding = found(p.site(run, tanks=tanks))[code]
    lower = the_size(finding.fix, "its end", "length")
    again = found(p.site(replace(run, to_m=run.to_m - lower), tanks=tanks))
    assert set(again) <= {"pipe-too-slow"}
    mended = the_size(finding.fix, "a fall of", "fall")
    assert mended * 30.0 == pytest.approx(finding.limit, rel=0.01)


def test_stated_fall_against_levels(p, found):
    run = replace(p.dry(), fall=0.04)
    assert found(p.site(run))["pipe-levels-contradict"].measured == pytest.approx(1.2)
    assert "pipe-levels-contradict" not in found(p.site(replace(run, fall=0.0205)))
    assert found(p.site(replace(run, fall=None))) == {}


def test_start_above_the_gutter(p, found):
    run = p.dry(from_m=4.2)
    finding = found(p.site(run))["pipe-starts-above-gutter"]
    assert (finding.measured, finding.limit) == (4.2, 4.0)
    lower = the_size(finding.fix, "start it", "length")
    assert found(p.site(replace(run, from_m=run.from_m - lower))) == {}


@pytest.mark.parametrize(("eave_m", "level"), [(4.0, "watch"), (2.4, "stop")])
def test_a_full_tank_backs_up(p, found, eave_m, level):
    run, roofs = p.dry(from_m=2.3, to_m=1.7), (p.roof(eave_m=eave_m),)
    finding = found(p.site(run, roofs=roofs))["pipe-backs-up"]
    assert finding.level == level
    higher = the_size(finding.fix, "let it go", "length")
    raised = replace(run, from_m=2.3 + higher, to_m=1.7 + higher)
    assert "pipe-backs-up" not in found(p.site(raised, roofs=(p.roof(eave_m=4.0),)))


def test_joining_below_the_start_of_the_next(p, found):
    low = p.dry("low", carries=())
    high = p.dry("high", to="low", from_m=3.8, to_m=3.4)
    finding = found(p.site(low, high))["pipe-backs-up"]
    assert finding.level == "stop"
    assert (finding.measured, finding.limit) == (3.4, 3.6)
    higher = the_size(finding.fix, "let it go", "length")
    assert found(p.site(low, replace(high, from_m=4.0, to_m=3.4 + higher))).keys() <= {
        "pipe-too-slow",
        "pipe-too-flat",
    }


def test_too_small(p, found):
    run, roofs = p.dry(fall=0.02), (p.roof(area_m2=500.0),)
    whole = p.site(run, roofs=roofs)
    finding = found(whole)["pipe-too-small"]
    assert finding.measured == pytest.approx(500.0 * 100.0 / 3600.0)
    size = re.search(r"a ([\d\-/]+ in) pipe", finding.fix)[1]
    wider = replace(run, pipe=replace(run.pipe, bore_mm=bore_called(size)))
    assert found(p.site(wider, roofs=roofs)) == {}
    steeper = replace(run, fall=the_size(finding.fix, "a fall of", "fall"))
    assert found(p.site(steeper, roofs=roofs)) == {}
    # the next smaller size does not do
    smaller = replace(run, pipe=replace(run.pipe, bore_mm=bore_called("4 in")))
    assert size == "5 in"
    assert "pipe-too-small" in found(p.site(smaller, roofs=roofs))


def test_too_flat(p, found):
    run, roofs = p.dry(fall=0.004), (p.roof(area_m2=50.0),)
    finding = found(p.site(run, roofs=roofs))["pipe-too-flat"]
    steeper = replace(run, fall=the_size(finding.fix, "a fall of", "fall"))
    assert set(found(p.site(steeper, roofs=roofs))) <= {"pipe-too-slow"}


@pytest.mark.parametrize(("area_m2", "level"), [(4.0, "fix"), (80.0, "watch")])
def test_too_slow(p, found, area_m2, level):
    run, roofs = p.dry(fall=0.008), (p.roof(area_m2=area_m2),)
    finding = found(p.site(run, roofs=roofs))["pipe-too-slow"]
    assert finding.level == level
    assert finding.measured < finding.limit == pytest.approx(0.6096)
    steeper = replace(run, fall=the_size(finding.fix, "a fall of", "fall"))
    assert found(p.site(steeper, roofs=roofs)) == {}


def test_head_of_a_wet_pipe(p, found):
    run = p.wet(pipe=Pipe(52.5, 30.0), to_m=3.4)
    whole = p.site(run)
    finding = found(whole)["wet-pipe-head"]
    assert finding.level == "fix"
    assert finding.measured < 0.0
    size = re.search(r"^([\d\-/]+ in) pipe throughout", finding.fix)[1]
    assert found(p.site(replace(run, pipe=Pipe(bore_called(size), 30.0)))) == {}
    higher = the_size(finding.fix, "'pipe' by", "length")
    assert found(p.site(run, roofs=(p.roof(eave_m=4.0 + higher),))) == {}


def test_little_head_in_hand_is_watched_and_the_end_may_be_lowered(p, found):
    run = p.wet(to_m=3.85)
    finding = found(p.site(run))["wet-pipe-head"]
    assert finding.level == "watch"
    assert 0.0 <= finding.measured < finding.limit
    lower = the_size(finding.fix, "let it go", "length")
    assert found(p.site(replace(run, to_m=run.to_m - lower))) == {}


def test_an_opening_below_the_tank_spills_in_any_rain(p, found):
    """No larger pipe helps, nor a lower end: the tank's own water stands above the opening."""
    run = p.wet(to_m=1.0, opening_m=2.4)
    finding = found(p.site(run))["wet-pipe-head"]
    assert finding.level == "stop"
    assert "any rain" in finding.says
    assert "throughout" not in finding.fix
    assert "let it go" not in finding.fix
    higher = the_size(finding.fix, "'pipe' by", "length")
    assert found(p.site(replace(run, opening_m=2.4 + higher))) == {}


def test_the_branch_that_spills_first_is_named(p, found):
    runs = (
        p.wet("main", carries=()),
        p.wet("barn", carries=("barn",), to="main"),
        p.wet("house", carries=("house",), to="main"),
    )
    roofs = (p.roof("barn", 200.0, 3.05), p.roof("house", 100.0, 5.0))
    finding = found(p.site(*runs, roofs=roofs))["wet-pipe-head"]
    assert "'barn' spills first" in finding.says
    assert "'house'" not in finding.fix
    higher = the_size(finding.fix, "'barn' by", "length")
    again = (p.roof("barn", 200.0, 3.05 + higher), roofs[1])
    assert "wet-pipe-head" not in found(p.site(*runs, roofs=again))


def test_a_tank_that_spills_high_is_counted_in_the_change(p):
    whole = p.site(p.wet(to_m=3.0), roofs=(p.roof(eave_m=3.1),))
    high = p.conveyed(whole, over_m={"tank": 0.45})
    change = main_change(
        high.tree, high.mains[0], intensity_mm_h=100.0, over_m=0.45, system="metric"
    )
    assert change.lower_m is None


def test_stale_water(p, found):
    run, roofs = p.wet(drain_mm=0.0), (p.roof(area_m2=40.0),)
    findings = found(p.site(run, roofs=roofs))
    # 243 L stand, 40 m2 of 6.35 mm bring 254 L
    assert findings["wet-pipe-stale"].measured == pytest.approx(243.2 / 254.0, rel=0.001)
    assert set(findings) == {"wet-pipe-stale", "wet-pipe-no-drain"}
    assert found(p.site(replace(run, drain_mm=50.0), roofs=roofs)) == {}


def test_no_drain(p, found):
    run = p.wet(drain_mm=0.0)
    finding = found(p.site(run))["wet-pipe-no-drain"]
    bore = read(re.search(r"\((.+?)\)", finding.fix)[1], "bore")
    assert found(p.site(replace(run, drain_mm=bore))) == {}


def test_a_drain_too_narrow_to_clean(p, found):
    run = p.wet(drain_mm=20.0)
    finding = found(p.site(run))["wet-drain-narrow"]
    assert (finding.measured, finding.limit) == (20.0, 40.0)
    size = re.match(r"a (.+ in) drain", finding.fix)[1]
    assert found(p.site(replace(run, drain_mm=bore_called(size)))) == {}


def test_drain_below_the_ground(p, found):
    ground = Ground(coldest_c=-10.0, frost_m=0.5, level_m=0.0)
    finding = found(p.site(p.wet(), ground=ground))["wet-drain-below-ground"]
    assert (finding.measured, finding.limit) == (-0.5, 0.0)
    lower = the_size(finding.fix, "lead the drain to ground", "length")
    assert found(p.site(p.wet(), ground=replace(ground, level_m=-lower))) == {}


def test_vents(p, found):
    assert set(found(p.site(p.wet(vented=False)))) == {"wet-pipe-no-vent"}


def test_screens_stand_before_the_pipe_goes_down(p, found):
    bare = (p.roof(screens=()),)
    assert set(found(p.site(p.wet(), roofs=bare))) == {"wet-pipe-unscreened"}
    assert found(p.site(p.dry(), roofs=bare)) == {}


def test_frost(p, found):
    run = p.wet(cover_m=0.2)
    finding = found(p.site(run))["wet-pipe-freezes"]
    assert (finding.measured, finding.limit) == (0.2, 0.5)
    deep = the_size(finding.fix, "lay it", "length")
    assert found(p.site(replace(run, cover_m=deep))) == {}
    drained = (replace(p.roof(), snow=Snow(0.5, 0.0, 0.8, frozenset({12, 1, 2}))),)
    assert found(p.site(run, roofs=drained)) == {}
    assert found(p.site(run, ground=Ground(coldest_c=2.0, level_m=-1.0))) == {}
    exposed = found(p.site(replace(run, cover_m=0.0), ground=Ground(coldest_c=-5.0)))
    assert set(exposed) == {"wet-pipe-freezes"}


@pytest.mark.parametrize(
    ("fields", "ground", "missing"),
    [
        ({"drain_mm": None}, None, "drain at its lowest point"),
        ({"vented": None}, None, "vents at its high points"),
        ({"cover_m": None}, None, "soil cover"),
        ({"cover_m": None}, Ground(level_m=-1.0), "coldest day of winter"),
        ({}, Ground(coldest_c=-9.0), "depth of frost"),
    ],
)
def test_unknown_fields_stand_in_one_note(p, found, fields, ground, missing):
    whole = p.site(p.wet(**fields), **({"ground": ground} if ground else {}))
    findings = found(whole)
    assert set(findings) == {"wet-pipe-unknowns"}
    assert missing in findings["wet-pipe-unknowns"].says
    assert findings["wet-pipe-unknowns"].level == "note"


def test_unknown_levels(p, found):
    dark = p.site(p.wet(to_m=None), roofs=(p.roof(eave_m=None),), tanks=(p.tank(base_m=None),))
    says = found(dark)["wet-pipe-unknowns"].says
    assert "where it lets go" in says
    assert "lowest opening of 'pipe'" in says
