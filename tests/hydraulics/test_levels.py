"""The elevation schedule: heights above a floor become levels above the datum, in order of flow."""

from dataclasses import replace

import pytest

from eavewell.hydraulics.levels import schedule
from eavewell.site.lift import Lift
from eavewell.site.line import Line
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe, PipeRun
from eavewell.site.pump import Pump
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder

PUMP = Pump("small", "sump", ((0.0, 8.0), (2.0, 2.0)))


def levels(site):
    return {(one.thing, one.point): one.level_m for one in schedule(site)}


def test_a_sump_below_the_datum_and_a_tank_above_it(making):
    sump = Tank(
        "pit",
        shape=UprightCylinder(1.0, 2.0),
        base_m=-2.5,
        outlet_m=0.1,
        overflow_m=1.8,
        is_sump=True,
    )
    tank = Tank("tall", shape=UprightCylinder(3.0, 3.0), base_m=0.2, overflow_m=2.8)
    lift = Lift("up", "pit", "tall", pump=PUMP, start_m=0.9, stop_m=0.3, let_go_m=3.2)
    line = Line("yard", "tall", Pipe(25, 10), outlets=(Outlet("tap", "hose", level_m=0.9),))
    run = PipeRun("down", ("roof",), "pit", Pipe(100, 20), from_m=2.0, to_m=-0.5)
    roofs = (replace(making.roof(to="pit"), eave_m=2.1),)
    site = making.site(
        roofs=roofs,
        tanks=(sump, tank),
        lifts=(lift,),
        lines=(line,),
        runs=(run,),
        uses=(making.use(draws_from=("tall",)),),
    )
    found = levels(site)
    # -2.5 + 1.8 = -0.7; -2.5 + 0.9 = -1.6; 0.2 + 2.8 = 3.0; 0.2 + 3.0 = 3.2
    assert found["sump 'pit'", "spillway"] == pytest.approx(-0.7)
    assert found["lift 'up'", "starts"] == pytest.approx(-1.6)
    assert found["tank 'tall'", "overflow"] == pytest.approx(3.0)
    assert found["tank 'tall'", "rim"] == pytest.approx(3.2)
    assert found["line 'yard'", "leaves the tank"] == pytest.approx(0.2)
    assert found["line 'yard'", "tap"] == 0.9
    assert found["pipe 'down'", "end"] == -0.5
    order = [one.thing for one in schedule(site)]
    assert order.index("roof 'roof'") < order.index("sump 'pit'") < order.index("line 'yard'")


def test_what_is_not_stated_stays_unknown(making):
    found = levels(making.site())
    assert found["roof 'roof'", "gutter outlet"] is None
    assert found["tank 'tank'", "floor"] is None
    assert found["tank 'tank'", "overflow"] is None
    assert found["ground", "at the tank"] is None
