"""Roof areas: IPC 1106.4, UPC 1103.4, Chicago 18-29-1106, copper handbook t. 4.4.1, EN 12056-3.

FOUND in copies: one wall 50 %, two adjoining 35 % of both, Chicago 25 %; pitch factors 1.0 to 1.3;
L (W + H/2). The areas are arithmetic.
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.roof_area import (
    area_m2_en_12056,
    area_m2_pitch_factor,
    area_m2_plan_and_wall,
    pitch_factor,
)
from eavewell.hydraulics.roof_methods import counted_area_m2, method_called, methods
from eavewell.site.gutter import Gutter


def test_walls():
    assert area_m2_plan_and_wall(100, wall_m2=40, wall_share=0.5) == 120
    assert area_m2_plan_and_wall(100, wall_m2=40, wall_share=0.35) == 114
    assert area_m2_plan_and_wall(100, wall_m2=40, wall_share=0.25) == 110


@pytest.mark.parametrize(
    ("rise", "factor"),
    [(0, 1.0), (3, 1.0), (4, 1.05), (5, 1.05), (6, 1.1), (8, 1.1), (9, 1.2), (11, 1.2), (12, 1.3)],
)
def test_pitch_factors(rise, factor):
    assert pitch_factor(rise / 12) == factor


def test_between_two_rows_the_steeper_holds():
    assert pitch_factor(3.5 / 12) == 1.05
    assert pitch_factor(24 / 12) == 1.3


def test_w_plus_half_h():
    # 10 m of eave, 5 m on plan, 2 m of rise: 10 x (5 + 1)
    assert area_m2_en_12056(50, 2 / 5) == pytest.approx(60)


def counted(name, walls):
    gutter = Gutter("north", "half-round", 125.0, 12.0, wall_m2=40.0, walls=walls)
    return counted_area_m2(gutter, plan_area_m2=100.0, pitch=0.5, method=method_called(name))


def test_sets_of_rules_are_not_mixed():
    # a code counts no pitch; sheet metal and EN count it, each in its own way
    assert counted("IPC 2018", 1) == 120
    assert counted("IPC 2018", 2) == 114
    assert counted("Chicago", 1) == 110
    assert counted("sheet metal", 0) == pytest.approx(110 + 20)
    assert counted("EN 12056-3", 0) == pytest.approx(125 + 20)
    assert counted("Beij", 0) == 120


def test_three_walls_count_no_less_than_their_half():
    assert counted("IPC 2018", 3) == 120


def test_rising_with_pitch_and_never_below_plan():
    pitches = [step / 50 for step in range(101)]
    for count in (area_m2_pitch_factor, area_m2_en_12056):
        areas = [count(80.0, pitch) for pitch in pitches]
        assert areas == sorted(areas)
        assert areas[0] == 80.0


def test_refusals():
    for pitch in (-0.1, 12.5):
        with pytest.raises(OutOfRange):
            pitch_factor(pitch)
    with pytest.raises(OutOfRange):
        area_m2_en_12056(0, 0.5)
    with pytest.raises(OutOfRange):
        area_m2_plan_and_wall(10, wall_m2=1, wall_share=1.5)
    with pytest.raises(OutOfRange, match="known are"):
        method_called("guess")


def test_every_set_names_a_storm_and_a_basis():
    assert {method.storm for method in methods()} == {"gutter", "plumbing code"}
    assert all(method.basis for method in methods())
    assert method_called("sheet metal").purpose(manure=True) == "gutter kept from manure"
    assert method_called("IPC 2018").purpose(manure=True) == "plumbing code"
