"""BS 8515 five percent, STEP Ontario, Gould (FOUND); DIN 1989-1, NM OSE one third (MEMORY)."""

import pytest

from eavewell.faults import OutOfRange
from eavewell.storage.rules_of_thumb import (
    ontario_shares,
    tank_l_five_percent_bs8515,
    tank_l_gould_botswana,
    tank_l_one_third_nm_ose,
    tank_l_ontario_step,
    tank_l_six_percent_din1989,
)
from eavewell.tables import table


def share(name):
    return table("rules_of_thumb")[name].value


def test_five_percent_example():
    # 125 m2 x 650 mm x 0.76 = 61,750 L; 5 people x 50 L x 365 = 91,250 L (4,562.5 L at 5 %).
    tank_l = tank_l_five_percent_bs8515(
        125 * 650 * 0.76, 5 * 50 * 365, share=share("five percent, bs 8515")
    )
    assert tank_l == pytest.approx(3087.5)


def test_ontario_below_the_low_ratio_holds_the_storm():
    # Yield 200 x 0.8 x 800 x 0.9 x 0.05 = 5,760; demand 50 x 40 x 18.25 = 36,500; 0.158 < 0.33.
    tank_l = tank_l_ontario_step(
        200, 800, storm_mm=25, demand_l_year=50 * 40 * 365, shares=ontario_shares()
    )
    assert tank_l == pytest.approx(200 * 0.9 * 25 * 0.9) == pytest.approx(4050)


def test_ontario_between_the_ratios_adds_the_yield_and_above_refuses():
    # Demand 50 x 14 x 18.25 = 12,775; 5,760 / 12,775 = 0.45: 4,050 + 5,760.
    given = {"storm_mm": 25, "shares": ontario_shares()}
    tank_l = tank_l_ontario_step(200, 800, demand_l_year=50 * 14 * 365, **given)
    assert tank_l == pytest.approx(9810)
    with pytest.raises(OutOfRange, match="daily balance"):
        tank_l_ontario_step(200, 800, demand_l_year=50 * 4 * 365, **given)


def test_ontario_share_of_a_year_is_18_25_days():
    assert share("ontario share") * 365 == pytest.approx(18.25)


def test_six_percent_of_din_1989():
    # 120 x 770 x 0.8 x 0.9 = 66,528 L; 4 x 34 x 365 + 200 x 60 = 61,640 L; x 0.06 = 3,698.4.
    tank_l = tank_l_six_percent_din1989(
        120 * 770 * 0.8 * 0.9, 4 * 34 * 365 + 200 * 60, share=share("six percent, din 1989")
    )
    assert tank_l == pytest.approx(3698.4)


def test_one_third_and_botswana():
    assert tank_l_one_third_nm_ose(30000, share=share("one third")) == pytest.approx(10000)
    assert tank_l_gould_botswana(30000, share=share("gould botswana")) == pytest.approx(12000)
