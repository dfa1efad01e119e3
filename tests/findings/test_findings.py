"""Each check fires, stays silent, and its computed fix passes."""

import re
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from eavewell.design import design
from eavewell.findings import find
from eavewell.site.goal import Goal
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.rain import Rain
from eavewell.site.rain_record import Mark
from eavewell.site.reserve import RationStage, Reserve
from eavewell.site.tank_shape import UprightCylinder
from eavewell.units import read
from eavewell.weather.site_rain import FromSite

TODAY = date(2026, 1, 1)
FIRST = date(1994, 12, 31)  # 31 years that end on 31 December 2025
RAIN_YEARS = 31
# the way of the water, from sky to tap and back into the ground
REACHES = (
    "sky",
    "roof",
    "pipe",
    "sump",
    "tank",
    "base",
    "line",
    "house and yard",
    "ground",
    "money",
    "papers",
)
LEVELS = ["stop", "fix", "watch", "note"]


@pytest.fixture(scope="module")
def record(making):
    rain = making.wet_and_dry(RAIN_YEARS)
    rain[[0, -1]] = 5.0
    return making.record(rain, first=FIRST, latitude=30.0, longitude=-98.0, elevation_m=400.0)


@pytest.fixture(scope="module")
def sound(making, record):
    """A site about which nothing is to be found: plenty of roof and tank, the gauge beside it."""
    site = making.site(roofs=(making.roof(60.0),), tanks=(making.tank(6000.0, start_share=1.0),))
    return design(site, record, today=TODAY)


@pytest.fixture(scope="module")
def designed(making, record):
    def _designed(**fields):
        return design(making.site(**fields), record, today=TODAY)

    return _designed


# the model rules ask for papers at any site
OF_ANY_SITE = ("model-rules", "not-ready")


def codes(design):
    return [finding.code for finding in find(design) if finding.code not in OF_ANY_SITE]


def one(design, code):
    (finding,) = [finding for finding in find(design) if finding.code == code]
    return finding


def with_rain(sound, **changes):
    """The sound design with other figures, quality, place or record of its rain."""
    rain = sound.rain
    for name, change in changes.items():
        part = replace(getattr(rain, name), **change) if isinstance(change, dict) else change
        rain = replace(rain, **{name: part})
    return replace(sound, rain=rain)


def test_nothing_is_found_in_a_sound_design(sound):
    assert codes(sound) == []
    papers = [finding for finding in find(sound) if finding.code in OF_ANY_SITE]
    assert [(one.code, one.level) for one in papers] == [(one, "note") for one in OF_ANY_SITE]


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("rain-short", {"figures": {"is_short": True}}),
        ("rain-old", {"figures": {"ends_long_ago": True}}),
        ("rain-starts-dry", {"figures": {"starts_in_dry_spell": True}}),
        ("rain-ends-dry", {"figures": {"ends_in_dry_spell": True}}),
        ("rain-unit", {"quality": {"unit_slip": "looks like inches."}}),
        ("rain-gaps", {"quality": {"missing_share": 0.051}}),
        ("rain-doubled", {"quality": {"doubled_days": 1}}),
        ("rain-place-unknown", {"where": FromSite(None, 10.0)}),
        ("rain-place-unknown", {"where": FromSite(10.0, None)}),
        ("rain-far", {"where": FromSite(24.2, 0.0)}),
        ("rain-far", {"where": FromSite(1.0, -153.0)}),
        ("rain-invented", {"record": {"invented": True}}),
    ],
)
def test_a_check_on_the_rain_fires_alone(sound, code, changes):
    assert codes(with_rain(sound, **changes)) == [code]


@pytest.mark.parametrize(
    "changes",
    [
        {"quality": {"missing_share": 0.05}},
        {"where": FromSite(24.1, 152.0)},
        {"where": FromSite(24.1, -152.0)},
    ],
)
def test_a_check_on_the_rain_stays_silent_at_its_limit(sound, changes):
    assert codes(with_rain(sound, **changes)) == []


@pytest.mark.parametrize(
    ("mark", "days", "found"),
    [
        (Mark.FILLED_SEASON, 366, ["rain-hole"]),
        (Mark.FILLED_SEASON, 365, []),
        (Mark.FILLED_NEIGHBOUR, 3000, []),
    ],
)
def test_a_hole_filled_from_other_years_is_found(sound, mark, days, found):
    marks = sound.rain.record.marks.copy()
    marks[100 : 100 + days] = mark
    first, last = (FIRST + timedelta(days=row) for row in (100, 99 + days))
    gap = {"longest_gap_days": days, "gap_from": first, "gap_to": last}
    holed = with_rain(sound, record={"marks": marks}, quality=gap)
    assert codes(holed) == found
    for hole in (one for one in find(holed) if one.reach == "sky"):
        assert (hole.level, hole.measured) == ("fix", days)
        assert f"{first} to {last}" in hole.says


def test_levels_of_a_doubtful_record(sound):
    unit = one(with_rain(sound, quality={"unit_slip": "Looks like inches."}), "rain-unit")
    doubled = one(with_rain(sound, quality={"doubled_days": 1}), "rain-doubled")
    assert (unit.level, doubled.level) == ("fix", "watch")
    assert "1 day," in doubled.says


def test_far_rain_names_what_is_far(sound):
    # 15 miles are 24.14 km, 500 ft are 152.4 m.
    far = one(with_rain(sound, where=FromSite(30.0, 300.0)), "rain-far")
    assert (far.measured, far.limit, far.unit) == (30.0, pytest.approx(24.14, abs=0.01), "km")
    high = one(with_rain(sound, where=FromSite(3.0, -300.0)), "rain-far")
    assert (high.measured, high.limit, high.unit) == (300.0, pytest.approx(152.4), "m")


@pytest.mark.parametrize("rain", [Rain(site_factor=(1.1,) * 12), Rain(at_site=True)])
def test_the_fix_of_far_rain_passes(sound, rain):
    far = with_rain(sound, where=FromSite(30.0, None))
    assert codes(replace(far, site=replace(far.site, rain=rain))) == []


def test_three_statements_of_one_volume(making, sound):
    # 8 ft x 7 ft 6 in hold pi/4 x 64 x 7.5 ft3 = 377 ft3 = 2,820 gal (COMPUTED); 2,600 are stated.
    gallon, foot = 3.785411784, 0.3048
    shape = UprightCylinder(8.0 * foot, 7.5 * foot)
    tank = replace(making.tank(2600.0 * gallon), shape=shape)
    found = one(with_tank(sound, tank), "store-volumes-differ")
    assert found.measured == pytest.approx(2820 / 2600 - 1, abs=0.001)
    assert [text in found.says for text in ("2,600 gal", "2,820 gal")] == [True, True]
    stated = re.search(r'each = "([^"]+)"', found.fix)[1]
    assert stated == "2,820 gal"
    fixed = replace(tank, stated_l=read(stated, "volume"))
    assert "store-volumes-differ" not in codes(with_tank(sound, fixed))
    unknown = replace(tank, stated_l=None)
    assert "store-volumes-differ" not in codes(with_tank(sound, unknown))


def with_tank(sound, tank):
    return replace(sound, site=replace(sound.site, tanks=(tank,)))


def test_a_missed_goal_tells_three_ways_out_that_each_reach_it(making, designed):
    goal = Goal("house", "supplied_share", 0.97)
    drawn = {"roofs": (making.roof(30.0),), "tanks": (making.tank(300.0),), "goals": (goal,)}
    missed = designed(**drawn)
    found = one(missed, "goal-missed")
    tank, roof, use = found.fix.split(", or ")
    tank_l = read(tank.removesuffix(" usable in 'tank'"), "volume")
    roof_m2 = read(roof.removesuffix(" of roof in all"), "area")
    use_l = read(use.removeprefix("use no more than ").removesuffix(" in all"), "daily")
    assert (tank_l > 300.0, roof_m2 > 30.0, use_l < 8.0) == (True, True, True)
    for fixed in (
        {"tanks": (making.tank(tank_l),)},
        {"roofs": (making.roof(roof_m2),)},
        {"uses": (making.use(use_l),)},
    ):
        again = designed(**(drawn | fixed))
        assert again.sizing.meets_goal, fixed
        assert "goal-missed" not in codes(again)
    assert (found.measured, found.limit) == (300.0, pytest.approx(tank_l, rel=0.01))


def test_no_way_out_by_one_part_is_said(designed, making):
    nowhere = designed(roofs=(making.roof(to=""),))
    assert one(nowhere, "goal-missed").fix.startswith("none of tank, roof or use alone")
    assert "roof-not-caught" in codes(nowhere)


def test_short_days_beyond_the_goal(making, designed):
    dry = {"roofs": (making.roof(30.0),), "tanks": (making.tank(300.0),)}
    short = designed(**dry)
    found = one(short, "use-short")
    spell = short.drawn.reliability.uses[0].longest
    assert (found.level, found.measured, found.limit) == ("fix", spell.short_days, 0.0)
    for text in (f"{spell.short_days} such days", str(spell.first), str(spell.last)):
        assert text in found.says
    assert "sooner" in one(designed(**dry, uses=(making.use(fallback="hauled"),)), "use-short").fix
    allowed = replace(making.no_dry_day(), target=float(spell.short_days))
    assert "use-short" not in codes(designed(**dry, goals=(allowed,)))
    for fields in ({"fallback": "mains"}, {"end_use": "outdoor"}):
        assert one(designed(**dry, uses=(making.use(**fields),)), "use-short").level == "watch"


def test_a_lift_that_never_starts(making, designed):
    def with_start(start_l):
        lift = Lift("top-up", "house tank", "header", source_start_l=start_l)
        tanks = (making.tank(1000.0, "house tank"), making.tank(100.0, "header"))
        uses = (making.use(5.0, draws_from=("header",)),)
        roofs = (making.roof(to="house tank"),)
        return designed(tanks=tanks, uses=uses, roofs=roofs, lifts=(lift,))

    found = one(with_start(1200.0), "lift-never-starts")
    assert (found.level, found.measured, found.limit) == ("stop", 1200.0, 1000.0)
    # Its fix, a start below what the store holds, passes.
    assert "lift-never-starts" not in codes(with_start(900.0))


def test_a_short_first_year_of_a_drinking_use_must_be_fixed(making, designed):
    dry = {"roofs": (making.roof(60.0),), "tanks": (making.tank(6000.0),)}
    uses = (making.use(end_use="drinking"),)
    assert one(designed(**dry, uses=uses), "first-year-short").level == "fix"
    uses = (making.use(end_use="indoor"),)
    assert one(designed(**dry, uses=uses), "first-year-short").level == "watch"


def test_a_first_year_that_is_short(making, designed):
    plenty = {"roofs": (making.roof(60.0),)}
    empty = designed(**plenty, tanks=(making.tank(6000.0),))
    found = one(empty, "first-year-short")
    assert found.measured == empty.first_fill.short_days["house"][0] > 0
    # Its fix, a first load, passes.
    assert "first-year-short" not in codes(
        designed(**plenty, tanks=(making.tank(6000.0, start_share=1.0),))
    )
    for fields in ({"fallback": "mains"}, {"end_use": "outdoor"}):
        uses = (making.use(**fields),)
        silent = designed(**plenty, tanks=(making.tank(6000.0),), uses=uses)
        assert "first-year-short" not in codes(silent)


def with_use(sound, **fields):
    (use,) = sound.site.uses
    return replace(sound, site=replace(sound.site, uses=(replace(use, **fields),)))


def test_animals_without_a_fallback_must_not_be_built_so(sound):
    found = one(with_use(sound, end_use="animals", fallback="none"), "animals-no-fallback")
    assert found.level == "stop"
    assert found.fix


@pytest.mark.parametrize("fallback", ["mains", "hauled"])
def test_the_fix_for_animals_passes(sound, fallback):
    left = ["air-gap-unknown"] if fallback == "mains" else []
    assert codes(with_use(sound, end_use="animals", fallback=fallback)) == left


@pytest.mark.parametrize(
    ("held_by", "of_reserve", "of_stage"),
    [
        ("agreement", "watch", "note"),
        ("unknown", "watch", "watch"),
        *((held, None, None) for held in ("outlet height", "float", "timer", "valve")),
    ],
)
def test_what_holds_a_reserve_or_a_stage(making, sound, held_by, of_reserve, of_stage):
    reserve = Reserve(volume_l=10.0, held_by=held_by)
    fire = with_tank(sound, making.tank(6000.0, fire_reserve=reserve))
    own = with_use(sound, reserve=reserve)
    stage = with_use(sound, stages=(RationStage(reserve, 0.5),))
    levels = [of_reserve, of_reserve, of_stage]
    for design_, level in zip((fire, own, stage), levels, strict=True):
        found = [finding.level for finding in find(design_) if finding.code == "reserve-not-held"]
        assert found == ([level] if level else [])


def test_a_load_must_find_room(making, sound):
    # 8 L a day: ordered below 8 x (4 + 3) = 56 L; a dry 4 days later 24 L are left: 176 of 200 L.
    tank = making.tank(200.0)

    def hauled(load_l, **fields):
        truck = Hauling("tank", load_l, lead_days=4, safety_days=3, **fields)
        return replace(sound, site=replace(sound.site, tanks=(tank,), hauling=(truck,)))

    found = one(hauled(180.0), "load-no-room")
    assert (found.measured, found.limit) == (180.0, pytest.approx(176.0))
    assert "load-no-room" not in codes(hauled(175.9))
    lower = hauled(180.0, order_below=Reserve(volume_l=40.0))
    assert "load-no-room" not in codes(lower), "its fix, a lower order level, passes"


def test_findings_are_sorted_and_speak(designed, making):
    uses = (
        making.use(end_use="drinking", reserve=Reserve(share=0.1)),
        making.use(30.0, "stock", end_use="animals", priority=2),
    )
    found = find(designed(uses=uses, roofs=(making.roof(), making.roof(to="", name="porch"))))
    reaches = list(dict.fromkeys(finding.reach for finding in found))
    assert reaches == [reach for reach in REACHES if reach in reaches]
    for reach in reaches:
        ranks = [LEVELS.index(finding.level) for finding in found if finding.reach == reach]
        assert ranks == sorted(ranks)
    assert {"drinking-not-judged", "animals-no-fallback", "goal-missed"} <= {f.code for f in found}
    for finding in found:
        assert not finding.says[0].islower()
        assert finding.says.endswith(".")
        assert (finding.measured is None) or finding.unit
        assert np.isfinite([v for v in (finding.measured, finding.limit) if v is not None]).all()
        assert finding.fix or finding.level in ("note", "watch", "fix")
