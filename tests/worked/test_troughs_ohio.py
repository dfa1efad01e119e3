"""Ohio State University Extension ANR-12 (seen in a copy): stock in single file and as a herd.

FOUND: single file within 600 to 900 ft, the day's water in four hours; a herd over 1,000 ft, a
quarter of the day held and refilled in an hour. COMPUTED by arithmetic: evaporation of a round
trough, a float stuck open.
"""

import math

import pytest

from eavewell.hydraulics.line_network import WaterLevels
from eavewell.hydraulics.troughs import needed_l_s, run_trough, way_of
from eavewell.site.line import Line
from eavewell.site.outlet import Trough
from eavewell.site.pipe import Pipe

GAL, FOOT = 3.785411784, 0.3048


def trough(**fields):
    sizes = {"valve_l_s": 5 * GAL / 60, "valve_m": 3.0, "level_m": 0.0}
    return Trough("trough", 380.0, **(sizes | fields))


def run(one, **fields):
    line = Line("line", "tank", Pipe(100.0, 1.0), troughs=(one,))
    sizes = {"levels": WaterLevels(3.0, 2.0, 1.0), "tank_l": 10400 * GAL, "animals_l_day": 400.0}
    return run_trough(line, one, **(sizes | fields))


@pytest.mark.parametrize(("feet", "way"), [(700, "single file"), (1200, "herd"), (None, "unknown")])
def test_how_stock_come(feet, way):
    walk = None if feet is None else feet * FOOT
    assert way_of(trough(walk_m=walk)) == way


def test_refill_of_a_thousand_gallons_a_day():
    # single file: 1,000 gal in 4 h = 250 gal/h; herd: 250 gal in 1 h, the same flow
    for way in ("single file", "herd"):
        assert needed_l_s(way, 1000 * GAL) * 3600 / GAL == pytest.approx(250)
    assert needed_l_s("unknown", 1000 * GAL) is None


def test_a_float_stuck_open_at_five_gallons_a_minute():
    # 10,400 gal / 5 gal/min / 60 = 34.7 h; the valve passes 5 gal/min at the 3 m of the full tank
    assert run(trough()).stuck_h == pytest.approx(10400 / 5 / 60, rel=0.01)


def test_a_round_trough_of_eight_feet_loses_nine_gallons_a_day():
    # pi/4 x 8 x 8 ft2 x 0.3 in / 12 x 7.48052 gal/ft3 = 9.4 gal
    surface = math.pi / 4 * (8 * FOOT) ** 2
    found = run(trough(surface_m2=surface, walk_m=500.0), evaporation_mm_day=0.3 * 25.4)
    assert found.evaporates_l_day / GAL == pytest.approx(9.4, abs=0.02)
    assert found.day_l == pytest.approx(400 + found.evaporates_l_day)
    assert found.stored_l == pytest.approx(found.day_l / 4)


def test_less_head_refills_slower_and_a_limiter_holds_the_stuck_float():
    plain, limited = run(trough()), run(trough(limiter_l_s=0.05))
    assert plain.refill_l_s < plain.open_l_s
    assert limited.open_l_s == 0.05
    assert limited.stuck_h > plain.stuck_h
