"""The run through every year against a loop by hand; all sites and days are invented."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from eavewell.faults import BadRecord
from eavewell.logbook.ahead.alerts import alerts
from eavewell.logbook.ahead.basis import Arrival, Asked, Basis, Standing
from eavewell.logbook.ahead.fan import first_days, tenths_l, when
from eavewell.logbook.ahead.lanes import Group, evenings, known_days
from eavewell.logbook.ahead.look import look_ahead
from eavewell.logbook.ahead.reach import Toward, chance_at, most_l_day
from eavewell.logbook.ahead.supply import supplies
from eavewell.logbook.ahead.years import years_from
from eavewell.site.hauling import Hauling
from eavewell.site.reserve import RationStage, Reserve
from eavewell.storage.series import series

AREA_M2 = 50.0
START = date(2027, 3, 5)


@pytest.fixture(scope="module")
def house(making):
    """A roof of 50 m2, 3,000 L, a use of 40 L/day, a ration of half below 1,000 L; 20 years."""
    stage = RationStage(Reserve(volume_l=1_000.0), 0.5)
    site = making.site(
        roofs=(making.roof(AREA_M2),),
        tanks=(making.tank(3_000.0),),
        uses=(making.use(40.0, stages=(stage,)),),
    )
    return basis(making, site)


def basis(making, site, years=20):
    days = making.days(making.wet_and_dry(years))
    return Basis(site, series(site, days), days, series)


def by_hand(runoff_mm, held_l, *, use_l=40.0, full_l=3_000.0, below_l=1_000.0):
    """Yield after spillage day by day with the ration by the morning's level."""
    found = []
    for depth in runoff_mm:
        want = use_l * (0.5 if held_l < below_l else 1.0)
        give = min(held_l, want)
        held_l = min(held_l + depth * AREA_M2, full_l) - give
        found.append(held_l)
    return np.array(found)


def test_every_lane_is_its_own_year(house):
    rows = years_from(house.water.dates, START, days=120)
    assert rows.shape == (120, 20)  # 2001 to 2020
    starts = np.array([[500.0, 1_700.0]])
    (found,) = evenings(house, rows, groups=[Group(np.ones(1), starts)])
    for lane, (start, year) in enumerate((s, y) for s in (500.0, 1_700.0) for y in range(20)):
        depth = house.water.runoff_mm[rows[:, year], 0]
        assert found.held_l[:, 0, lane] == pytest.approx(by_hand(depth, start), abs=1e-6)


def test_groups_differ_only_as_told(house):
    rows = years_from(house.water.dates, START, days=60)
    start = np.array([[900.0]])
    kept, plain, half = evenings(
        house,
        rows,
        groups=[
            Group(np.ones(1), start),
            Group(np.ones(1), start, stages=False),
            Group(np.full(1, 0.5), start, stages=False),
        ],
    )
    depth = house.water.runoff_mm[rows[:, 3], 0]
    assert kept.held_l[:, 0, 3] == pytest.approx(by_hand(depth, 900.0), abs=1e-6)
    assert plain.held_l[:, 0, 3] == pytest.approx(by_hand(depth, 900.0, below_l=0.0), abs=1e-6)
    assert half.held_l[:, 0, 3] == pytest.approx(
        by_hand(depth, 900.0, use_l=20.0, below_l=0.0), abs=1e-6
    )


def test_known_rain_and_a_load_stand_in_every_year(house):
    """20 mm on metal: the record's own finish share and wetting, by the room that knows them."""
    asked = Asked(
        rain_mm={START + timedelta(days=4): 20.0, START + timedelta(days=5): 0.0},
        loads=(Arrival(START + timedelta(days=5), "tank", 600.0),),
    )
    rows = years_from(house.water.dates, START, days=10)
    known = known_days(house, START, asked=asked, days=10)
    (found,) = evenings(house, rows, groups=[Group(np.ones(1), np.array([[900.0]]))], known=known)
    alone = series(
        house.site,
        replace(
            house.days,
            dates=house.days.dates[:2],
            rain_mm=np.array([20.0, 0.0]),
            et0_mm=house.days.et0_mm[:2],
        ),
    )
    for year in range(rows.shape[1]):
        depth = house.water.runoff_mm[rows[:, year], 0].copy()
        depth[4] = alone.runoff_mm[0, 0]
        depth[5] = 600.0 / AREA_M2
        assert found.held_l[:, 0, year] == pytest.approx(by_hand(depth, 900.0), abs=1e-6)


def test_years_begin_on_the_date_and_may_be_left_out(making):
    dates = making.dates(4 * 366, "2003-01-01")
    rows = years_from(dates, date(2028, 2, 29), days=30)
    assert [str(dates[row]) for row in rows[0]] == [
        "2003-02-28",
        "2004-02-28",
        "2005-02-28",
        "2006-02-28",
    ]
    kept = years_from(dates, date(2028, 2, 29), days=30, without={2004, 2005})
    assert kept.shape == (30, 2)
    with pytest.raises(BadRecord, match="longer record"):
        years_from(dates, date(2028, 2, 29), days=3_000)


def test_tenths_are_those_of_numpy():
    level = np.random.default_rng(1).gamma(2.0, 900.0, (5, 37))
    share = np.arange(1, 10) / 10.0
    assert tenths_l(level) == pytest.approx(np.quantile(level, share, axis=1).T)


def test_first_days_in_the_dry_tenth_and_the_middle():
    """Of ten years one is dry on day 2, four more on day 7, five never."""
    first = np.array([2.0] + [7.0] * 4 + [np.inf] * 5)
    found = when(first, date(2027, 1, 1))
    assert found.dry_tenth == date(2027, 1, 3)
    assert found.middle == date(2027, 1, 8)
    assert found.chance == 0.5
    never = when(first_days(np.zeros((3, 4), dtype=bool)), date(2027, 1, 1))
    assert (never.dry_tenth, never.middle, never.chance) == (None, None, 0.0)


def toward(house, held_l, days=90):
    rows = years_from(house.water.dates, START, days=days)
    every = supplies(house.site, {"house": 40.0})
    return Toward(rows, np.array([[held_l]]), np.array([40.0]), (), every)


@pytest.mark.parametrize("chance", [0.0, 0.1, 0.3])
def test_the_inverse_run_meets_its_chance_by_rerun(house, chance):
    to = toward(house, 600.0)
    most = most_l_day(house, to, chance=chance)
    assert chance_at(house, to, l_day=most) <= chance
    assert chance_at(house, to, l_day=most * 1.01) > chance


def test_the_inverse_run_against_the_loop_by_hand(house):
    """The use of which two lanes of 20 run dry, by trying one use after the other."""
    to = toward(house, 600.0)
    most = most_l_day(house, to, chance=0.1)

    def dry(use_l):
        lanes = (house.water.runoff_mm[to.rows[:, year], 0] for year in range(20))
        return sum(
            bool((by_hand(depth, 600.0, use_l=use_l, below_l=0.0) <= 1e-3).any()) for depth in lanes
        )

    assert dry(most * 0.999) <= 2 < dry(most * 1.002)


def test_no_use_at_all_may_be_too_much(making):
    """An open tank that stands at its floor is dry whatever is used."""
    site = making.site(tanks=(making.tank(3_000.0),), uses=(making.use(40.0),))
    house = basis(making, site, years=6)
    to = toward(house, 0.0, days=3)
    assert most_l_day(house, to, chance=0.0) is None


def standing(held_l, *, read_on=START, sd_l=0.0, week=None):
    return Standing(START, read_on, np.array([held_l]), np.array([sd_l]), week or {})


def test_a_forecast_and_a_load_move_the_answer(house):
    bare = look_ahead(house, standing(900.0))
    asked = Asked(rain_mm={START + timedelta(days=2): 25.0})
    rain = look_ahead(house, standing(900.0), asked=asked)
    load = look_ahead(house, standing(900.0), asked=Asked(loads=(Arrival(START, "tank", 800.0),)))
    assert rain.supplies[0].plan.plain_days > bare.supplies[0].plan.plain_days + 20.0
    assert load.supplies[0].plan.plain_days == pytest.approx(
        bare.supplies[0].plan.plain_days + 800.0 / 40.0
    )
    assert (load.ways[0].tenths_l[0] > bare.ways[0].tenths_l[0] + 790.0).all()


def test_this_weeks_use_stands_for_the_plans(house):
    """80 L/day where the plan has 40: half as long, and every year with twice the plan's use."""
    found = look_ahead(house, standing(2_000.0, week={"": 80.0}))
    assert found.used.scale == pytest.approx([2.0])
    assert found.supplies[0].week.plain_days == pytest.approx(25.0)
    assert found.supplies[0].plan.plain_days == pytest.approx(50.0)


def test_uncertain_levels_and_old_readings_widen_the_range(house):
    sure = look_ahead(house, standing(1_500.0))
    unsure = look_ahead(house, standing(1_500.0, sd_l=100.0))
    old = look_ahead(house, standing(1_500.0, read_on=START - timedelta(days=9)))
    assert (sure.supplies[0].low_l, sure.supplies[0].high_l) == (1_500.0, 1_500.0)
    # The tenths of the five parts of a normal distribution lie 1.28 standard errors out.
    assert unsure.supplies[0].low_l == pytest.approx(1_500.0 - 128.2, abs=1.0)
    assert unsure.supplies[0].high_l == pytest.approx(1_500.0 + 128.2, abs=1.0)
    assert old.unknown_days == 9
    assert old.supplies[0].high_l > old.supplies[0].low_l + 50.0
    known = {START - timedelta(days=n): 0.0 for n in range(1, 10)}
    dry = look_ahead(
        house, standing(1_500.0, read_on=START - timedelta(days=9)), asked=Asked(rain_mm=known)
    )
    assert dry.unknown_days == 0
    assert dry.now_l == pytest.approx([1_500.0 - 9 * 40.0])


def test_loads_keep_the_tank_up_only_where_they_are_ordered(making):
    site = making.site(
        roofs=(making.roof(AREA_M2),),
        tanks=(making.tank(3_000.0),),
        uses=(making.use(90.0, fallback="hauled"),),
        hauling=(Hauling("tank", 1_500.0, 3),),
    )
    found = look_ahead(basis(making, site), standing(1_500.0))
    stated, spare = found.ways
    assert (stated.name, spare.name) == ("as stated", "no loads")
    assert stated.loads[0][0] > 1.0
    assert spare.loads[0][0] == 0.0
    assert spare.dry.chance > stated.dry.chance


def test_the_order_level_and_its_day(making):
    """Dead storage 200 + 90 L/day x (3 + 3) = 740 L in the tank; slow 14 + 3 days: 1,730.

    The tank's 2,000 L above the outlet fall to 540 in (2,000 - 540) / 90 days with no rain; a
    load of 1,500 has room below 2,800 - 1,500 + 200 = 1,500 in it.
    """
    site = making.site(
        roofs=(making.roof(AREA_M2),),
        tanks=(making.tank(3_000.0, dead_l=200.0),),
        uses=(making.use(90.0, fallback="hauled"),),
        hauling=(Hauling("tank", 1_500.0, 3),),
    )
    (order,) = look_ahead(basis(making, site), standing(2_000.0)).orders
    assert order.normal.order_l == pytest.approx(740.0)
    assert order.slow.order_l == pytest.approx(200.0 + 90.0 * 17)
    assert order.normal.no_rain_days == pytest.approx((2_000.0 - 540.0) / 90.0)
    assert order.fits_l == pytest.approx(1_500.0)
    assert order.load_days == pytest.approx(1_500.0 / 90.0)
    assert not order.normal.today


def test_a_load_is_ordered_when_it_will_have_room(making):
    """Ordered below 1,530 above the outlet, but 2,700 L have room only below 100.

    With no rain and 90 L/day a truck of 14 days finds room if it is ordered at 100 + 14 x 90 =
    1,360 L or less: in the evening of the third day, at 1,600 - 3 x 90 = 1,330.
    """
    site = making.site(
        roofs=(making.roof(0.001),),
        tanks=(making.tank(3_000.0, dead_l=200.0),),
        uses=(making.use(90.0, fallback="hauled"),),
        hauling=(Hauling("tank", 2_700.0, 3),),
    )
    (order,) = look_ahead(basis(making, site), standing(1_600.0)).orders
    assert order.fits_l == pytest.approx(300.0)
    # 100 are reached in the evening of the 17th day: 1,600 - 17 x 90 = 70.
    assert order.slow.by.middle == START + timedelta(days=3)
    assert order.fits.middle == START + timedelta(days=17)


def test_what_is_to_be_acted_on_today(making):
    """520 L: under the ration's 800 and, at 45 L/day, the 17 x 45 of a slow truck; not 6 x 45."""
    stage = RationStage(Reserve(volume_l=800.0), 0.5)
    site = making.site(
        roofs=(making.roof(AREA_M2),),
        tanks=(making.tank(3_000.0, dead_l=200.0),),
        uses=(making.use(90.0, fallback="hauled", stages=(stage,)),),
        hauling=(Hauling("tank", 1_500.0, 3),),
    )
    found = look_ahead(
        basis(making, site),
        standing(700.0, read_on=START - timedelta(days=4)),
        asked=Asked(rain_mm={START - timedelta(days=n): 0.0 for n in range(1, 5)}),
    )
    # Four dry days at half the want leave 700 - 4 x 45 = 520 L: 520 / 45 days on the ration.
    dry, order, ration, old = alerts(found)
    assert (dry.what, dry.about, dry.days) == ("dry soon", "tank", pytest.approx(520.0 / 45.0))
    assert (order.what, order.about) == ("order early", "tank")
    assert (ration.what, ration.about, ration.share) == ("ration", "house", 0.5)
    assert (old.what, old.days) == ("old reading", 4.0)
    full = look_ahead(basis(making, site), standing(2_700.0))
    assert alerts(full) == ()


def test_an_order_waits_for_the_load_that_is_on_its_way(making):
    """2,000 L above the outlet and 600 on the second day, less two days' use: later by 600 / 90."""
    site = making.site(
        roofs=(making.roof(AREA_M2),),
        tanks=(making.tank(3_000.0, dead_l=200.0),),
        uses=(making.use(90.0, fallback="hauled"),),
        hauling=(Hauling("tank", 1_500.0, 3),),
    )
    asked = Asked(loads=(Arrival(START + timedelta(days=2), "tank", 600.0),))
    (order,) = look_ahead(basis(making, site), standing(2_000.0), asked=asked).orders
    assert order.normal.no_rain_days == pytest.approx((2_000.0 + 600.0 - 540.0) / 90.0)
