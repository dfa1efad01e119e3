"""Common practice, no source: a design small enough to be worked out on paper, line by line.

10 mm fall on 10 m2 every tenth day: 100 L. The house wants 8 L a day: 80 L in ten days.
Under yield after spillage the wet day draws on the morning's water only.
"""

from dataclasses import replace

import numpy as np
import pytest

from eavewell.site.goal import Goal
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.reserve import RationStage, Reserve
from eavewell.storage.sizing import MORE_ROOF_M2, MORE_TANK_L, size_system

YEARS = 3650 / 365.25


@pytest.fixture(scope="module")
def sized(making):
    def _sized(*, area_m2=10.0, usable_l=200.0, each_l=8.0, depth_mm=10.0, **fields):
        start = fields.pop("start_share", None)
        site = making.site(
            roofs=(making.roof(area_m2),),
            tanks=(making.tank(usable_l, start_share=start),),
            uses=(making.use(each_l),),
            **fields,
        )
        water = making.series(making.every_tenth_day(depth_mm=depth_mm), [each_l])
        return size_system(site, water)

    return _sized


def test_smallest_tank(sized):
    # Full at S on the wet day; ten draws leave S - 80 for the next wet morning, which must give 8.
    assert sized().smallest_l == pytest.approx(88.0, abs=0.1)
    assert sized().smallest_l >= 88.0 - 1e-6


def test_smallest_tank_where_the_wet_day_may_use_its_own_rain(sized):
    # Yield before spillage: full at S on the wet evening, then nine draws of 8.
    assert sized(rule="ybs").smallest_l == pytest.approx(72.0, abs=0.1)


def test_smallest_roof(sized):
    # 80 L in ten days of 10 mm: 8 m2, less the 200 L at most that the store hands down once.
    handed_down_m2 = 200.0 / 3650.0
    assert 8.0 - handed_down_m2 <= sized().smallest_roof_m2 <= 8.03


def test_largest_use(sized):
    # 100 L in ten days: 10 L a day, and the 200 L at most that the store hands down once.
    handed_down_l = 200.0 / 3650.0
    assert 9.97 <= sized().most_use_l_day <= 10.0 + handed_down_l


def test_no_fail_volume(sized):
    # Nine dry days of 8 L: 72.
    assert sized().no_fail_l == pytest.approx(72.0)


def test_gain_of_more_tank(sized):
    # 40 L fill on the wet day and last five days; with 1,000 gal more, 80 L are drawn in ten days,
    # but for the first morning, which is empty.
    found = sized(usable_l=40.0, start_share=0.0)
    assert pytest.approx(40.0 + 3785.411784) == 40.0 + MORE_TANK_L
    assert found.more_tank_l_year == pytest.approx((365 * 40.0 - 8.0) / YEARS)
    assert found.more_roof_l_year == pytest.approx(0.0, abs=1e-6)


def test_gain_of_more_roof(sized):
    # 5 m2 bring 50 L, all drawn; 9.29 m2 more bring enough for all but the first, empty morning.
    found = sized(area_m2=5.0, usable_l=1000.0, start_share=0.0)
    assert pytest.approx(9.290304) == MORE_ROOF_M2
    assert found.more_roof_l_year == pytest.approx((365 * 30.0 - 8.0) / YEARS)
    assert found.more_tank_l_year == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("case", "limiting"),
    [
        ({"area_m2": 5.0, "usable_l": 1000.0}, "roof"),  # all of it is drawn, 30 of 80 L lack
        ({"usable_l": 40.0}, "tank"),  # 60 of 100 L spill, 40 of 80 L lack
        ({}, "use"),  # nothing lacks
        ({"each_l": 1000.0, "usable_l": 5000.0}, "use"),  # twice 100 L against 10,000 L
    ],
)
def test_what_limits(sized, case, limiting):
    assert sized(**case).limiting == limiting


def test_smallest_is_none_where_no_tank_is_enough(sized):
    found = sized(area_m2=5.0)
    assert found.smallest_l is None
    assert found.smallest_roof_m2 == pytest.approx(8.0, abs=0.03)
    assert found.most_use_l_day == pytest.approx(5.0, abs=0.02)
    assert found.no_fail_l is None
    assert not found.meets_goal


def test_curve(sized):
    found = sized().curve
    assert found.capacity_l.size >= 200
    assert (np.diff(found.capacity_l) > 0).all()
    at = int(np.searchsorted(found.capacity_l, 200.0))
    assert found.capacity_l[at] == 200.0
    assert found.supplied_share[at] == pytest.approx(1.0)
    assert found.longest_short_days[at] == 0
    # Without a tank nothing is supplied and all spills.
    assert (found.supplied_share[0], found.days_met_share[0]) == (0.0, 0.0)
    assert found.spilled_share[0] == pytest.approx(1.0)
    assert found.longest_short_days[0] == 3650
    # A tank of S below nine days' use gives S litres in ten days.
    small = (found.capacity_l > 0) & (found.capacity_l < 72.0)
    assert found.supplied_share[small] == pytest.approx(found.capacity_l[small] / 80.0, abs=0.001)
    assert found.reaches_goal.tolist() == (found.capacity_l >= 88.0).tolist()


def test_the_size_sought_is_of_the_largest_store_drawn_from_or_lifted_from(making):
    from eavewell.site.lift import Lift
    from eavewell.storage.sizing import varied_store

    tanks = (making.tank(900.0, "sump", is_sump=True), making.tank(500.0, "main"))
    tanks = (*tanks, making.tank(50.0, "header"), making.tank(2000.0, "pond nobody draws from"))
    lifts = (Lift("up", "sump", "main"), Lift("top-up", "main", "header"))
    site = making.site(tanks=tanks, lifts=lifts, uses=(making.use(draws_from=("header",)),))
    assert varied_store(site) == 1
    assert varied_store(replace(site, lifts=())) == 2


def test_a_larger_tank_may_ration_earlier_and_supply_less(making):
    """50 days from empty, 10 L a day, half of it below half a tank.

    100 L: six whole days and three rations are 75 L and leave 25; from then on each ten days give
    a ration on the wet day, five whole days and four rations: 5 + 50 + 20 = 75 L.
    400 L, the largest tried: the wet mornings find 0, 55, 105, 150 and 175 L, and below 200 L only
    rations: 45 L in the first ten days, whose morning is empty, 50 in the second, then with one,
    five and eight whole days 55, 75 and 90 L: 315 L.
    1,000 gal more: never half full, 45 + 4 x 50 = 245 L.
    """
    stage = RationStage(Reserve(share=0.5), 0.5)
    site = making.site(
        tanks=(making.tank(100.0, start_share=0.0),),
        uses=(making.use(10.0, stages=(stage,)),),
        goals=(Goal("house", "supplied_share", 0.74),),
    )
    found = size_system(site, making.series(making.every_tenth_day(50), [10.0]))
    assert found.more_tank_l_year == pytest.approx((245.0 - 375.0) / (50 / 365.25))
    assert found.curve.supplied_share[-1] == pytest.approx(315 / 500)
    assert found.meets_goal, "375 of 500 L are 0.75"
    assert found.smallest_l is not None
    assert found.smallest_l <= 100.0, "100 L meets it"
    assert found.steady_l is None, "the largest tried does not meet the goal"


def test_a_small_header_limits_though_the_main_tank_is_large(making):
    """A 10 L header, refilled each day from a tank that is never empty, gives 10 of 30 L.

    Twice the header gives 20 L; twice the main tank or the roof gives nothing more.
    """
    site = making.site(
        tanks=(making.tank(50000.0, start_share=1.0), making.tank(10.0, "header")),
        uses=(making.use(30.0, draws_from=("header",)),),
        lifts=(Lift("top-up", "tank", "header"),),
    )
    assert size_system(site, making.series(making.every_tenth_day(400), [30.0])).limiting == "tank"


def test_a_truck_hides_no_lack_of_rain(sized):
    """5 m2 give 50 of the 80 L of ten days and trucks the rest, so that no day is short.

    Twice the roof brings the 30 L that trucks bring; what the stores hold
    more or less at the end than at the start is at most a load in 10,950 L.
    """
    truck = Hauling("tank", 300.0, 2, Reserve(volume_l=100.0))
    found = sized(area_m2=5.0, usable_l=1000.0, start_share=0.3, hauling=(truck,))
    assert found.limiting == "roof"
    assert found.more_roof_l_year == pytest.approx(3.0 * 365.25, rel=0.03)
