"""What a power cut lets through, by Boyle's law and by levels, on paper."""

import math
from dataclasses import replace

import pytest

from eavewell.site.line import PressureTank
from eavewell.site.place import Place
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.treatment.power_cut import unlit

SHAPE = UprightCylinder(2.0, 2.0)
TANK = Tank("tank", shape=SHAPE, base_m=0.0, outlet_m=0.1, overflow_m=1.8)
SEA = Place(30.0, -98.0, 0.0)


@pytest.fixture
def litres(made_up_barriers, making):
    def _litres(line, tank=TANK):
        return found(line, tank).known_l

    def found(line, tank=TANK):
        return unlit(making.site(tanks=(tank,), lines=(line,), place=SEA), line)

    _litres.found = found
    return _litres


@pytest.fixture
def house(made_up_barriers):
    return made_up_barriers.LINE


@pytest.mark.parametrize("gallons", [2.0, 20.0, 50.0, 86.0])
def test_a_pressure_tank_by_boyle(house, made_up_barriers, litres, gallons):
    """Air of 28 psi fills the whole tank; at 50 psi it holds the rest of (28 + a) / (50 + a)."""
    psi, gal = made_up_barriers.PSI, made_up_barriers.GAL
    tank = PressureTank(gallons * gal, 28 * psi)
    air_psi = 14.6959 * 101.3 / 101.325
    air_left = gallons * (28 + air_psi) / (50 + air_psi)
    pushed = litres(replace(house, pressure_tank=tank))
    assert pushed / gal == pytest.approx(gallons - air_left, rel=1e-3)


def test_fifty_gallons_hold_seventeen(house, litres, made_up_barriers):
    # 50 x (1 - 42.7 / 64.7)
    assert litres(house) / made_up_barriers.GAL == pytest.approx(17.0, abs=0.05)


def test_the_tank_upstairs_holds_less(house, litres):
    low = replace(house, pressure_tank=replace(house.pressure_tank, level_m=0.0))
    high = replace(house, pressure_tank=replace(house.pressure_tank, level_m=3.0))
    assert litres(high) < litres(low) == litres(house)


def test_a_held_pressure_needs_no_cut_in(house, litres, made_up_barriers):
    psi, gal = made_up_barriers.PSI, made_up_barriers.GAL
    held = replace(
        house,
        control="variable speed",
        cut_in_m=None,
        pressure_tank=PressureTank(2 * gal, 35 * psi),
    )
    # 2 x (1 - 49.7 / 64.7)
    assert litres(held) / gal == pytest.approx(0.464, abs=0.002)


def test_no_pressure_tank_pushes_nothing(house, litres):
    assert litres(replace(house, control="on demand", pressure_tank=None)) == 0.0


def test_what_is_unknown_stays_unknown(house, litres):
    for tank, cut_out_m in (
        (None, house.cut_out_m),
        (PressureTank(190.0), house.cut_out_m),
        (house.pressure_tank, None),
        (PressureTank(190.0, 60.0), house.cut_out_m),
    ):
        found = litres.found(replace(house, pressure_tank=tank, cut_out_m=cut_out_m))
        assert found.pushed_l is None
        assert found.is_least


def test_by_gravity_the_whole_tank(house, litres):
    gravity = replace(house, pump=None, pressure_tank=None)
    assert litres(gravity) == pytest.approx(1000 * math.pi * (1.8 - 0.1))
    assert litres(replace(gravity, source="none of them")) is None


@pytest.mark.parametrize(
    ("tap_m", "stands_m"), [(4.0, 0.0), (1.8, 0.0), (1.0, 0.8), (0.1, 1.7), (-1.0, 1.7)]
)
def test_through_a_pump_at_rest_to_a_tap_below_the_water(house, litres, tap_m, stands_m):
    high, low = house.outlets[0], replace(house.outlets[0], name="low", level_m=tap_m)
    falls = litres(replace(house, outlets=(high, low))) - litres(house)
    assert falls == pytest.approx(1000 * math.pi * stands_m)


def test_of_every_tank_in_a_row(house, litres):
    low = replace(house, outlets=(replace(house.outlets[0], level_m=1.0),))
    row = replace(TANK, count=3)
    assert litres(low, row) - litres(house, row) == pytest.approx(3 * 1000 * math.pi * 0.8)


def test_unknown_levels_make_it_a_least(house, litres):
    assert not litres.found(house).is_least
    low = replace(house, outlets=(replace(house.outlets[0], level_m=1.0),))
    for line, tank in (
        (low, replace(TANK, base_m=None)),
        (replace(house, outlets=(replace(house.outlets[0], level_m=None),)), TANK),
    ):
        found = litres.found(line, tank)
        assert found.fallen_l is None
        assert found.is_least
        assert found.known_l == litres(house)
