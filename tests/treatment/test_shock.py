"""Chlorine after work and flushing after rest: volumes by arithmetic."""

from math import pi

import pytest

from eavewell.hydraulics.conveyance import DrainDown
from eavewell.site.calendar import Calendar
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.use import Use
from eavewell.site.want import People
from eavewell.treatment.season import season_steps
from eavewell.treatment.shock import line_holds_l, shock_after_work

BRANCH = Pipe(10.0, 2.0)
LINE = Line(
    "house",
    "tank",
    Pipe(20.0, 10.0),
    outlets=(Outlet("tap", "faucet", count=3, branch=BRANCH), Outlet("hose", "hose")),
    in_line=(InLine("five micron", "filter", 0.5, 1.0, 5.0), InLine("uv", "lamp", 0.5, 1.0, 1.0)),
    heater=True,
)


@pytest.fixture
def used(making):
    def build(end_use, **fields):
        use = making.use(end_use=end_use, **fields)
        return making.site(uses=(use,), tanks=(making.tank(1000.0),), lines=(LINE,))

    return build


def test_a_full_tank_takes_what_the_table_says(used):
    (one,) = shock_after_work(used("drinking")).tanks
    by_name = {measure.product: measure for measure in one.measures}
    # 5 mg/L in 1,000 L are 5 g of chlorine: 40 mL at 125 g/L, 95.2 mL at 52.5 g/L, 7.7 g at 65 %
    assert one.mg_l == 5.0
    assert by_name["pool liquid"].full == pytest.approx(5.0 / 125.0 * 1000.0)
    assert by_name["household bleach"].full == pytest.approx(5.0 / 52.5 * 1000.0)
    assert by_name["calcium hypochlorite"].full == pytest.approx(5.0 / 0.65)
    for measure in one.measures:
        assert measure.half == pytest.approx(measure.full / 2.0)


def test_a_garden_tank_is_left_alone(used):
    assert shock_after_work(used("outdoor")).tanks == ()


def test_what_stands_in_the_pipes(used):
    # 10 m of 20 mm and three branches of 2 m of 10 mm
    litres = pi / 4 * (0.02**2 * 10 + 3 * 0.01**2 * 2) * 1000
    assert line_holds_l(LINE) == pytest.approx(litres)
    (one,) = shock_after_work(used("indoor")).lines
    assert one.flush_l == pytest.approx(3.0 * litres)


@pytest.fixture
def lived_in(making):
    def build(calendar):
        use = Use("house", "indoor", (People(2.0, 50.0, calendar),), ("tank",))
        return making.site(uses=(use,), lines=(LINE,))

    return build


POINTS = (DrainDown("pipe 'yard'", -1.0, 40.0, 50.0),)


def test_no_season_where_somebody_is_there_all_year(lived_in):
    assert season_steps(lived_in(Calendar()), POINTS) == ()
    assert season_steps(lived_in(Calendar(weekdays=frozenset({5, 6}))), POINTS) == ()


def test_every_part_has_its_steps(lived_in):
    steps = season_steps(lived_in(Calendar(months=frozenset({6, 7}))), POINTS)
    closing = {one.thing: one for one in steps if one.when == "closing"}
    opening = {one.thing: one for one in steps if one.when == "opening"}
    assert closing["pipe 'yard'"].volume_l == 40.0
    assert closing["line 'house'"].volume_l == pytest.approx(line_holds_l(LINE))
    assert opening["line 'house'"].volume_l == pytest.approx(3.0 * line_holds_l(LINE))
    assert "scald" in opening["heater of line 'house'"].says
    assert "140 F" in opening["heater of line 'house'"].says
    assert {"filter 'five micron'", "lamp 'uv'"} <= closing.keys()
    assert {"filter 'five micron'", "lamp 'uv'", "test"} <= opening.keys()
    # no pump here: none to drain, and no traps behind a gravity line
    assert not any(thing.startswith(("pump", "pressure tank", "traps")) for thing in closing)


def test_the_heater_goes_off_before_anything_is_drained(lived_in):
    steps = season_steps(lived_in(Calendar(seasons=(((3, 1), (11, 15)),))), POINTS)
    things = [one.thing for one in steps if one.when == "closing"]
    assert things[0] == "heater of line 'house'"
