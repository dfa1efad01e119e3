"""Many choices in one batch against each one run alone on its rebuilt site. Sites invented."""

from dataclasses import replace

import numpy as np
import pytest

from eavewell.site.first_flush import FirstFlush
from eavewell.site.goal import Goal
from eavewell.site.gutter import Downspout, Gutter
from eavewell.site.hauling import Hauling
from eavewell.site.reserve import RationStage, Reserve
from eavewell.site.roof import Plane, Roof
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import (
    Box,
    ConeBottom,
    HorizontalCylinder,
    StrappingTable,
    UprightCylinder,
)
from eavewell.site.use import Use
from eavewell.site.want import Animals, Household, People, Plants, Washing
from eavewell.site.weighing import Choice
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.choices import run_choices
from eavewell.storage.goals import all_reached
from eavewell.storage.in_service import run_in_service
from eavewell.storage.rebuilt import (
    as_it_stands,
    connected_m2,
    garden_only,
    grown,
    household_only,
    rebuilt,
    resized,
    widened,
)
from eavewell.storage.series import series, uses_in_order

BEDS = Plants("beds", 20.0, 0.7, 0.5, 150.0, 0.5, 0.8)
SUMS = ("supplied_l", "short_days", "rationed_days", "longest_short_days", "cut_days", "loads")


def farm(making, **fields):
    """Two roofs, two tanks and a barrel, a house with rations and loads, a garden, a trough."""
    stages = (RationStage(Reserve(volume_l=600.0), 0.8), RationStage(Reserve(volume_l=300.0), 0.5))
    house = Use("house", "drinking", (People(2.0, 40.0),), ("main",), 1, stages=stages)
    garden = Use("garden", "outdoor", (BEDS,), ("main", "barrel"), 3, Reserve(share=0.2))
    cows = Use("cows", "animals", (Washing("trough", 15.0),), ("barrel",), 2)
    flush = FirstFlush(volume_l=30.0, bleed_l_h=1.0)
    return making.site(
        roofs=(
            Roof("house", (Plane("a", 60.0), Plane("b", 30.0)), "metal", "main", first_flush=flush),
            Roof("shed", (Plane("all", 25.0),), "metal", "barrel"),
            Roof("porch", (Plane("all", 9.0),), "metal"),
        ),
        tanks=(
            Tank("main", 2, shape=UprightCylinder(1.5, 1.2), outlet_m=0.1, overflow_m=1.1),
            Tank("barrel", 1, stated_l=500.0, dead_l=20.0, start_share=0.5),
        ),
        uses=(replace(house, fallback="hauled"), garden, cows),
        hauling=(Hauling("main", 1000.0, 2),),
        goals=(
            Goal("house", "dry_days_in_worst_spell", 3.0),
            Goal("house", "loads_in_worst_year", 8.0),
            Goal("garden", "supplied_share", 0.5),
        ),
        **fields,
    )


def choices(site):
    stands = as_it_stands(site, "main")
    return (
        stands,
        replace(stands, count=1),
        replace(stands, count=5),
        replace(stands, each_l=900.0),
        replace(stands, count=3, each_l=6000.0, roof_m2=stands.roof_m2 * 1.5),
        replace(stands, roof_m2=stands.roof_m2 * 0.4),
        replace(stands, fixtures=0.7),
        replace(stands, garden=0.25),
        replace(stands, rations=False),
        Choice(4, 1500.0, stands.roof_m2 * 1.2, 0.8, 0.5, False),
    )


def alone(site, water, choice, days):
    """The one choice, built and run as a site of its own."""
    built = rebuilt(site, choice, tank="main")
    if not choice.rations:
        built = replace(built, uses=tuple(replace(use, stages=()) for use in built.uses))
    own = series(built, days)
    share = {"house": choice.fixtures, "garden": choice.garden}
    scale = np.array([share.get(use.name, 1.0) for use in uses_in_order(site)])
    own = replace(own, demand_l=own.demand_l * scale)
    return run_in_service(built, arrange(built, own, lanes=lanes_as_drawn(built))), built


@pytest.fixture(scope="module")
def weighed(making):
    site = farm(making)
    days = making.days(making.wet_and_dry(12))
    days = replace(days, et0_mm=np.full(days.rain_mm.size, 4.0))
    water = series(site, days)
    listed = choices(site)
    return site, water, days, listed, run_choices(site, water, choices=listed, tank="main")


def test_every_choice_is_as_it_would_be_alone(weighed):
    site, water, days, listed, batch = weighed
    for at, choice in enumerate(listed):
        one, built = alone(site, water, choice, days)
        for name in SUMS:
            together, single = (
                getattr(b.sums, name)[..., lane] for b, lane in ((batch, at), (one, 0))
            )
            np.testing.assert_allclose(
                together, single, rtol=1e-9, atol=1e-6, err_msg=f"{name} {at}"
            )
        assert all_reached(site, batch)[at] == all_reached(built, one)[0]


def test_the_choices_differ(weighed):
    """Else the comparison above shows nothing."""
    *_, batch = weighed
    assert np.unique(batch.sums.supplied_l.sum(axis=0).round(3)).size == len(weighed[3])
    met = all_reached(weighed[0], batch)
    assert met.any()
    assert not met.all()


def test_the_site_as_it_stands_is_itself(weighed):
    site, water, _, listed, batch = weighed
    drawn = run_in_service(site, arrange(site, water, lanes=lanes_as_drawn(site)))
    for name in SUMS:
        np.testing.assert_array_equal(
            getattr(batch.sums, name)[..., 0], getattr(drawn.sums, name)[..., 0]
        )
    assert rebuilt(site, listed[0], tank="main") == site


def test_the_order_of_the_choices_changes_none(weighed):
    site, water, _, listed, batch = weighed
    other = run_choices(site, water, choices=listed[::-1], tank="main")
    np.testing.assert_array_equal(other.sums.supplied_l[:, ::-1], batch.sums.supplied_l)
    np.testing.assert_array_equal(other.sums.loads[:, ::-1], batch.sums.loads)


def test_larger_tanks_and_roofs_never_give_less_without_rations_and_loads(making):
    site = replace(making.site(), goals=())
    water = making.series(making.wet_and_dry(15), 60.0)
    stands = as_it_stands(site, "tank")
    sizes = [replace(stands, each_l=float(each)) for each in np.linspace(50.0, 5000.0, 25)]
    roofs = [replace(stands, roof_m2=float(area)) for area in np.linspace(1.0, 60.0, 25)]
    counts = [replace(stands, count=count) for count in range(1, 12)]
    for listed in (sizes, roofs, counts):
        supplied = run_choices(site, water, choices=listed, tank="tank").supplied_share
        assert np.all(np.diff(supplied) >= -1e-12)
        assert supplied[-1] > supplied[0]


def test_less_wanted_is_never_met_worse(making):
    site = making.site(
        uses=(Use("house", "indoor", (People(2.0, 30.0),), ("tank",)),),
    )
    water = making.series(making.wet_and_dry(15), 60.0)
    stands = as_it_stands(site, "tank")
    listed = [replace(stands, fixtures=share) for share in (1.0, 0.9, 0.7, 0.4, 0.1)]
    met = run_choices(site, water, choices=listed, tank="tank").met_share
    assert np.all(np.diff(met) >= 0.0)


def test_stages_by_share_and_by_volume_stand_side_by_side(making):
    """30 % of 4,000 L lies above 300 L, of 600 L below: each choice is as it would be alone."""
    stages = (RationStage(Reserve(share=0.3), 0.8), RationStage(Reserve(volume_l=300.0), 0.4))
    site = making.site(
        roofs=(making.roof(30.0),),
        tanks=(making.tank(4000.0),),
        uses=(making.use(30.0, stages=stages),),
    )
    water = making.series(making.wet_and_dry(10), 30.0)
    stands = as_it_stands(site, "tank")
    listed = [stands, replace(stands, each_l=600.0), replace(stands, each_l=1500.0)]
    batch = run_choices(site, water, choices=listed, tank="tank")
    for at, choice in enumerate(listed):
        built = rebuilt(site, choice, tank="tank")
        one = run_in_service(built, arrange(built, water, lanes=lanes_as_drawn(built)))
        assert batch.sums.supplied_l[0, at] == one.sums.supplied_l[0, 0]
        assert batch.sums.rationed_days[0, at] == one.sums.rationed_days[0, 0]
    assert batch.sums.rationed_days.min() > 0.0


# What fixtures and gardens scale.


def test_who_saves_with_better_fixtures(making):
    def use(name, *wants):
        return Use(name, "indoor", wants, ("tank",))

    people, wash = People(2.0, 30.0), Washing("filter", 40.0)
    site = making.site(
        uses=(
            use("house", people, wash),
            use("by fixture", Household(2.0, ())),
            use("garden", BEDS),
            use("garden and wash", BEDS, wash),
            use("both", people, BEDS),
            use("wash alone", wash),
            use("cows", Animals("beef cow", 3.0)),
        ),
        goals=(),
    )
    assert household_only(site) == ("house", "by fixture")
    assert garden_only(site) == ("garden", "garden and wash")


# Tanks of another size.


@pytest.mark.parametrize(
    "shape",
    [
        UprightCylinder(1.5, 1.2),
        Box(2.0, 1.0, 1.1),
        HorizontalCylinder(1.2, 3.0),
        ConeBottom(1.5, 0.4, 1.6),
        StrappingTable((0.0, 0.5, 1.0), (0.0, 300.0, 900.0)),
    ],
    ids=lambda shape: type(shape).__name__,
)
def test_a_wider_tank_holds_its_share_at_every_depth(shape):
    for share in (0.3, 2.5):
        wide = widened(shape, share)
        assert wide.height_m == shape.height_m
        for depth_m in np.linspace(0.0, shape.height_m, 9):
            expected = pytest.approx(share * shape.volume_l(float(depth_m)), rel=1e-9, abs=1e-6)
            assert wide.volume_l(float(depth_m)) == expected


def test_a_tank_keeps_its_levels_and_grows_in_its_volumes():
    tank = Tank("main", 2, stated_l=1000.0, dead_l=50.0, overflow_m=1.1, empty_kg=30.0)
    other = resized(tank, Choice(3, 2500.0, 100.0))
    assert (other.count, other.stated_l, other.dead_l, other.empty_kg) == (3, 2500.0, 125.0, 75.0)
    assert other.overflow_m == tank.overflow_m
    assert other.rim_l == pytest.approx(7500.0)
    assert resized(tank, Choice(2, 1000.0, 100.0)) is tank


def test_a_tank_by_shape_is_resized_to_its_rim():
    tank = Tank("main", 2, shape=UprightCylinder(1.5, 1.2), outlet_m=0.1, overflow_m=1.1)
    other = resized(tank, Choice(3, 1000.0, 100.0))
    assert other.rim_l == pytest.approx(3000.0)
    assert other.usable_l == pytest.approx(3000.0 * (1.1 - 0.1) / 1.2)


# Roofs grown and cut.


def test_a_roof_grows_with_its_gutters_downspouts_and_first_flush():
    gutter = Gutter(
        "eave", "ogee", 150.0, 12.0, plan_area_m2=30.0, downspout=Downspout(75.0), spouts=2
    )
    roof = Roof(
        "barn",
        (Plane("a", 40.0), Plane("b", 20.0)),
        "metal",
        "main",
        first_flush=FirstFlush(volume_l=60.0, bleed_l_h=2.0),
        gutters=(gutter,),
    )
    more = grown(roof, 1.5)
    (longer,) = more.gutters
    assert more.plan_area_m2 == pytest.approx(90.0)
    assert (longer.length_m, longer.plan_area_m2, longer.spouts) == (18.0, 45.0, 3)
    assert (more.first_flush.volume_l, more.first_flush.bleed_l_h) == (90.0, 3.0)
    assert grown(roof, 0.1).gutters[0].spouts == 1
    by_depth = replace(roof, first_flush=FirstFlush(depth_mm=1.0))
    assert grown(by_depth, 2.0).first_flush == by_depth.first_flush


def test_a_roof_that_is_not_caught_stays(making):
    site = farm(making)
    assert connected_m2(site) == 115.0
    built = rebuilt(site, replace(as_it_stands(site, "main"), roof_m2=230.0), tank="main")
    assert [roof.plan_area_m2 for roof in built.roofs] == [180.0, 50.0, 9.0]


def test_a_site_without_a_roof_is_weighed_all_the_same(making):
    site = making.site(roofs=())
    stands = as_it_stands(site, "tank")
    assert stands.roof_m2 == 0.0
    assert rebuilt(site, stands, tank="tank") == site
    water = making.series(np.zeros((400, 0)), 5.0)
    found = run_choices(site, water, choices=[stands, replace(stands, count=2)], tank="tank")
    assert found.supplied_share.max() == 0.0
