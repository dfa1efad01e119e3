"""The measuring stick against its tank: integration, days one by one, order marks by hand."""

import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from eavewell.answers.cards import cards_answer
from eavewell.design import design
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.reserve import RationStage, Reserve
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import (
    Box,
    ConeBottom,
    HorizontalCylinder,
    StrappingTable,
    UprightCylinder,
)
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.stick import Draw, days_between, held_for_days, rationless
from eavewell.tables import table

TODAY = date(2026, 1, 1)
SHAPES = {
    "upright": UprightCylinder(2.4, 2.2),
    "box": Box(3.0, 1.5, 1.8),
    "lying": HorizontalCylinder(1.8, 3.0),
    "cone": ConeBottom(2.0, 0.5, 2.5),
    "measured": StrappingTable((0.0, 0.4, 1.2, 1.8), (0.0, 300.0, 2100.0, 2600.0)),
}


def surface_m2(shape, depth_m):
    """Water surface at a depth, from the shape as a mason knows it."""
    if isinstance(shape, UprightCylinder):
        return math.pi * shape.diameter_m**2 / 4.0
    if isinstance(shape, Box):
        return shape.length_m * shape.width_m
    if isinstance(shape, HorizontalCylinder):
        return 2.0 * math.sqrt(depth_m * (shape.diameter_m - depth_m)) * shape.length_m
    if isinstance(shape, ConeBottom):
        wide = shape.diameter_m * min(depth_m / shape.cone_m, 1.0)
        return math.pi * wide**2 / 4.0
    at = np.searchsorted(shape.depths_m, depth_m, side="right")
    rise = shape.volumes_l[at] - shape.volumes_l[at - 1]
    return rise / (shape.depths_m[at] - shape.depths_m[at - 1]) / 1000.0


def integral_l(shape, depth_m, slices=20_000):
    """Middles of thin slices, in litres."""
    thick = depth_m / slices
    return sum(surface_m2(shape, (n + 0.5) * thick) for n in range(slices)) * thick * 1000.0


def made(making, **fields):
    """Cards of a made-up site whose one use wants 100 L a day."""
    fields = {"uses": (making.use(100.0),)} | fields
    site = making.site(**fields)
    record = making.record(making.wet_and_dry(3))
    return cards_answer(design(site, record, today=TODAY))


def tank(shape=SHAPES["box"], **fields):
    return Tank("tank", shape=shape, **({"outlet_m": 0.1, "overflow_m": 1.6} | fields))


@pytest.mark.parametrize("name", SHAPES)
def test_every_mark_agrees_with_the_shape_by_integration(making, name):
    shape = SHAPES[name]
    found = made(making, tanks=(tank(shape, count=2),))["tanks"][0]
    for every in ("6 in", "10 cm"):
        marks = [one for one in found["stick"] if one["every"] == every]
        step_m = {"6 in": 0.1524, "10 cm": 0.1}[every]
        assert [one["depth_m"] for one in marks] == pytest.approx(
            [n * step_m for n in range(len(marks))]
        )
        assert marks[-1]["depth_m"] + step_m > shape.height_m
        for one in marks[1::4]:
            whole = 2.0 * integral_l(shape, one["depth_m"])
            assert one["total_l"] == pytest.approx(whole, rel=2e-4)
            assert one["l_per_inch"] == pytest.approx(2.54 * one["l_per_cm"])
        cm = sum(one["l_per_cm"] * step_m * 100.0 for one in marks)
        assert cm == pytest.approx(marks[-1]["total_l"])
    for one in found["tape"][10::40]:
        assert one["total_l"] == pytest.approx(2.0 * integral_l(shape, one["depth_m"]), rel=2e-4)


def test_only_upright_walls_have_one_volume_for_every_mark(making):
    even = {
        name: made(making, tanks=(tank(shape),))["tanks"][0]["even_l_per_cm"]
        for name, shape in SHAPES.items()
    }
    assert even["box"] == pytest.approx(45.0)  # 3 x 1.5 m x 1 cm
    assert even["upright"] == pytest.approx(math.pi * 1.2**2 * 10.0)
    assert even["lying"] is even["cone"] is even["measured"] is None


def day_by_day(draws, high_l, low_l, step=0.001):
    """Days until the water is down, by small steps of time."""
    held, days = high_l, 0.0
    while held > low_l + 1e-9 and days < 1e4:
        rate = 0.0
        for draw in draws:
            shares = [share for below, share in draw.stages if held <= below] or [1.0]
            rate += draw.l_day * min(shares) if held > draw.stops_l else 0.0
        held -= rate * step
        days += step
    return days


def test_days_are_those_of_drawing_day_by_day():
    draws = (
        Draw("house", 120.0, 200.0, ((1500.0, 0.8), (800.0, 0.5))),
        Draw("garden", 90.0, 1000.0),
    )
    for high in (2500.0, 1400.0, 700.0):
        found = days_between(draws, high, low_l=200.0)
        assert found == pytest.approx(day_by_day(draws, high, 200.0), abs=0.02)
        assert held_for_days(draws, found, low_l=200.0) == pytest.approx(high)
    free = days_between(rationless(draws), 1000.0, low_l=200.0)
    assert free == pytest.approx(800.0 / 120.0)


def test_what_nobody_draws_never_ends():
    assert days_between((Draw("house", 0.0),), 500.0, low_l=0.0) is None
    assert days_between((Draw("garden", 50.0, 300.0),), 500.0, low_l=0.0) is None
    assert held_for_days((Draw("house", 0.0),), 5.0, low_l=0.0) is None


def test_the_order_mark_is_dead_storage_reserve_and_rationed_use(making):
    stages = (RationStage(Reserve(volume_l=3000.0, held_by="valve"), 0.5),)
    fire = Reserve(volume_l=450.0, held_by="outlet height")
    found = made(
        making,
        tanks=(tank(fire_reserve=fire),),
        uses=(making.use(100.0, fallback="hauled", stages=stages),),
        hauling=(Hauling("tank", 2000.0, 3, safety_days=4),),
    )["tanks"][0]
    truck = found["trucks"][0]
    # box of 4.5 m2: dead 450 L; (3 + 4) and (14 + 4) days of 50 L above 450 L of fire reserve
    assert truck["order_l"] == pytest.approx(450.0 + 450.0 + 350.0)
    assert truck["order_m"] == pytest.approx(1250.0 / 4500.0)
    assert truck["drought_lead_days"] == 14
    assert truck["drought_order_l"] == pytest.approx(450.0 + 450.0 + 900.0)
    # full is 7,200 L; a load of 2,000 L has room below 5,200 L
    assert truck["fits_l"] == pytest.approx(5200.0)
    assert truck["fits_m"] == pytest.approx(5200.0 / 4500.0)
    assert truck["load_days"] == pytest.approx(2000.0 / 50.0)
    assert truck["fits_after_days"] == truck["drought_fits_after_days"] == 0.0


def test_a_load_that_has_no_room_when_ordered_says_when_it_has(making):
    found = made(
        making,
        tanks=(tank(),),
        uses=(making.use(100.0, fallback="hauled"),),
        hauling=(Hauling("tank", 5000.0, 3, safety_days=4),),
    )["tanks"][0]
    truck = found["trucks"][0]
    # usable 6,750 L, room below 1,750 L; ordered in a drought at 18 x 100 L: half a day to wait
    assert truck["drought_fits_after_days"] == pytest.approx(0.5)
    assert truck["fits_after_days"] == 0.0
    huge = Hauling("tank", 9000.0, 3)
    never = made(making, tanks=(tank(),), hauling=(huge,))["tanks"][0]["trucks"][0]
    assert never["fits_l"] is never["fits_m"] is never["fits_after_days"] is None


def test_the_owner_s_own_order_level_stands(making):
    own = Hauling("tank", 1000.0, 3, order_below=Reserve(share=0.4))
    truck = made(making, tanks=(tank(),), hauling=(own,))["tanks"][0]["trucks"][0]
    assert truck["stated"]
    assert truck["order_l"] == pytest.approx(450.0 + 0.4 * 6750.0)


def test_bands_stand_in_order_with_their_levels(making):
    stages = (
        RationStage(Reserve(share=0.5, held_by="valve"), 0.8),
        RationStage(Reserve(share=0.2, held_by="valve"), 0.5),
    )
    uses = (
        making.use(100.0, stages=stages),
        making.use(40.0, "garden", priority=2, reserve=Reserve(share=0.6, held_by="timer")),
    )
    found = made(making, tanks=(tank(),), uses=uses)
    bands = found["tanks"][0]["bands"]
    assert [(one["what"], one["of"]) for one in bands] == [
        ("full", ""),
        ("stops", "garden"),
        ("ration", "house"),
        ("ration", "house"),
        ("dead storage", ""),
    ]
    shares = (1.0, 0.6, 0.5, 0.2, 0.0)
    assert [one["level_m"] for one in bands] == pytest.approx([0.1 + 1.5 * one for one in shares])
    # above 4,050 L both draw 140 L a day, below it the house alone its 100 L
    assert bands[0]["days"] == pytest.approx(2700.0 / 140.0 + 40.5)
    assert [(one["stage"], one["share"]) for one in found["stages"]] == [(1, 0.8), (2, 0.5)]
    assert found["stages"][1]["l_per_day"] == pytest.approx(50.0)


def test_a_lift_draws_what_its_far_tank_gives_out(making):
    site = {
        "tanks": (tank(), making.tank(300.0, "header")),
        "uses": (making.use(100.0, draws_from=("header",)),),
        "lifts": (Lift("up", "tank", "header", limit_l_day=60.0, source_stop_l=1000.0),),
    }
    main = made(making, **site)["tanks"][0]
    assert main["drawn_by"] == ["up"]
    assert main["mean_l_per_day"] == pytest.approx(60.0)
    assert main["bands"][0]["days"] == pytest.approx((6750.0 - 1000.0) / 60.0)


def test_a_tank_of_unknown_shape_has_no_marks_but_its_volumes(making):
    plain = replace(making.tank(500.0), overflow_to="swale")
    found = made(making, tanks=(plain,))["tanks"][0]
    assert not found["shape_known"]
    assert found["stick"] == found["tape"] == []
    assert found["full_l"] == pytest.approx(500.0)
    assert found["bands"][0]["level_m"] is None
    assert found["bands"][0]["days"] == pytest.approx(5.0)


@pytest.mark.parametrize(("elevation", "minutes"), [(400.0, 1.0), (2200.0, 3.0), (None, 3.0)])
def test_boiling_takes_longer_where_water_boils_cooler(making, elevation, minutes):
    place = replace(making.site().place, elevation_m=elevation)
    assert made(making, place=place)["boil_minutes"] == minutes


def test_the_order_mark_of_the_wall_is_the_level_at_which_the_trial_orders(making):
    stages = (RationStage(Reserve(share=0.5, held_by="valve"), 0.4),)
    uses = (
        making.use(100.0, fallback="hauled", stages=stages, reserve=Reserve(volume_l=300.0)),
        making.use(20.0, "stock", reserve=Reserve(volume_l=100.0), priority=2),
    )
    site = making.site(tanks=(tank(),), uses=uses, hauling=(Hauling("tank", 2000.0, 3),))
    found = design(site, making.record(making.wet_and_dry(3)), today=TODAY)
    truck = cards_answer(found)["tanks"][0]["trucks"][0]
    trial = arrange(site, found.water, lanes=lanes_as_drawn(site)).truck_order_l
    # over the reserve of what is bought: 6 days of 0.4 x 100 and 20 L; 450 L are dead storage
    assert trial == pytest.approx(np.array([[300.0 + 6.0 * 60.0]]))
    assert truck["order_l"] == pytest.approx(450.0 + 300.0 + 6.0 * 60.0)
    assert truck["load_days"] == pytest.approx(2000.0 / 60.0)
    # a trial with another size of store: its share of the ration moves with it, 100 L a day above
    half = replace(lanes_as_drawn(site), usable_l=np.array([[1000.0]]))
    order = arrange(site, found.water, lanes=half).truck_order_l
    # 500 - 300 = 200 L at 60 L a day, the rest of six days at 120 L
    assert order == pytest.approx(np.array([[500.0 + (6.0 - 200.0 / 60.0) * 120.0]]))


def test_an_inch_of_rain_comes_through_the_lift_of_a_sump_too(making):
    sump = making.tank(200.0, "sump", is_sump=True)
    site_parts = {
        "tanks": (sump, tank()),
        "roofs": (making.roof(60.0, "sump"),),
        "lifts": (Lift("up", "sump", "tank"),),
    }
    found = made(making, **site_parts)["tanks"][0]
    metal = table("runoff")[making.roof(60.0).finish].value
    assert found["inch_of_rain_l"] == pytest.approx(60.0 * 25.4 * metal)
    assert found["ten_mm_of_rain_l"] == pytest.approx(600.0 * metal)
    assert found["rain_lifted_by"] == ["up"]
