"""Any pumped line with anything unknown: sentences, never a fault; more pressure, more water."""

import random

import pytest

from eavewell.answers.service import service_answer
from eavewell.files.site.generic_pumps import generic_pump, generic_pumps
from eavewell.findings.service import service_holds
from eavewell.hydraulics.service import serve
from eavewell.site.line import InLine, Line, PressureTank
from eavewell.site.outlet import Emitter, Lateral, Outlet, Trough
from eavewell.site.pipe import Pipe
from eavewell.site.place import Place
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.tables import rows

FIXTURES = [row["fixture"] for row in rows("outlets")]


def outlet(dice, row):
    return Outlet(
        f"outlet {row}",
        dice.choice(FIXTURES),
        dice.randint(1, 3),
        level_m=dice.choice([None, dice.uniform(0, 8), dice.uniform(0, 8), dice.uniform(-5, 45)]),
        at_m=dice.choice([None, dice.uniform(0, 20)]),
        branch=dice.choice([None, Pipe(dice.uniform(8, 25), dice.uniform(0.5, 30))]),
    )


def in_line(dice, row):
    clean_m = dice.uniform(0, 3)
    kind, most = dice.choice(["filter", "lamp", "meter"]), dice.choice([None, dice.uniform(0.1, 1)])
    dirty_m = clean_m + dice.uniform(0, 6)
    return InLine(f"thing {row}", kind, dice.uniform(0.2, 1), clean_m, dirty_m, most)


def stands_on(dice):
    trough = Trough("trough", 500.0, valve_l_s=dice.choice([None, 0.3]), valve_m=3.0, level_m=1.0)
    lateral = Lateral("row", 12, Emitter("drip", 4.0, 10.0), 0.3, 13.0, level_m=0.0)
    return {
        "outlets": tuple(outlet(dice, row) for row in range(dice.randint(0, 6))),
        "in_line": tuple(in_line(dice, row) for row in range(dice.randint(0, 3))),
        "laterals": dice.choice([(), (lateral,)]),
        "troughs": dice.choice([(), (trough,)]),
    }


def line(dice):
    cut_in = dice.uniform(5, 45)
    size, air = dice.uniform(2, 400), dice.choice([None, dice.uniform(0, 50)])
    tank = PressureTank(size, air, dice.choice([None, dice.uniform(-2, 9)]))
    return Line(
        "house",
        "tank",
        Pipe(dice.uniform(12, 40), 20.0),
        pump=generic_pump(dice.choice(generic_pumps())),
        pump_m=dice.choice([None, 0.0, dice.uniform(-8, 12)]),
        suction=dice.choice([None, Pipe(dice.uniform(15, 40), dice.uniform(0, 20))]),
        control=dice.choice(["switch", "on demand", "variable speed"]),
        cut_in_m=dice.choice([None, cut_in, cut_in]),
        cut_out_m=dice.choice([None, cut_in + 14.0, cut_in + 14.0]),
        pressure_tank=dice.choice([None, tank]),
        check_valve=dice.choice([None, True, False]),
        dry_run_m=dice.choice([None, 0.0, dice.uniform(0, 2)]),
        heater=dice.choice([None, True, False]),
        **stands_on(dice),
    )


@pytest.mark.parametrize("seed", range(120))
def test_any_line(making, seed):
    dice = random.Random(seed)
    shape = UprightCylinder(dice.uniform(1, 5), dice.uniform(0.5, 4))
    tank = Tank("tank", shape=shape, base_m=dice.uniform(-3, 10), outlet_m=0.1)
    place = Place(30.0, -98.0, dice.choice([None, 0.0, 2500.0]))
    site = making.site(tanks=(tank,), lines=(line(dice),), place=place)
    served = serve(site, {"house": 200.0})
    assert service_answer(served)
    assert all(finding.says for finding in service_holds(site, served))
    for one in served[0].outlets:
        assert 0.0 <= one.least_l_s <= one.most_l_s + 1e-6
