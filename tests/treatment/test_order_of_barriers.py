"""The way of the water from roof to tap, in the order of flow, and whom a line serves."""

from dataclasses import replace

import pytest

from eavewell.site.first_flush import FirstFlush
from eavewell.site.lift import Lift
from eavewell.site.line import PressureTank
from eavewell.site.outlet import Outlet, Trough
from eavewell.site.screen import Screen
from eavewell.site.tank_fittings import TankFittings
from eavewell.treatment.barriers import barriers_in_order
from eavewell.treatment.order import in_the_line, order_of, reached_from, uses_of

SCREEN = Screen("leaves", 0.95)
FLUSH = FirstFlush(depth_mm=1.0)
LIFT = Lift("up", "barn", "header")


@pytest.fixture
def made(made_up_barriers):
    return made_up_barriers


def words(order):
    return [f"{one.kind} {one.name}" for one in order]


def test_everything_from_roof_to_taps(made, making):
    roof = replace(making.roof(), screens=(SCREEN,), first_flush=FLUSH)
    tank = making.tank(fittings=TankFittings(calmed_inlet=True, floating_intake=True))
    line = made.line(*made.LIT)
    site = making.site(roofs=(roof,), tanks=(tank,), lines=(line,))
    assert words(order_of(site, line)) == [
        "roof screen leaves",
        "first flush roof",
        "calmed inlet tank",
        "tank tank",
        "floating intake tank",
        "pump made up",
        "pressure tank house",
        "filter coarse",
        "filter fine",
        "carbon carbon",
        "lamp lamp",
        "taps house",
    ]


def test_what_is_not_there_or_not_known_is_not_listed(made, making):
    line = made.line(pump=None, pressure_tank=None)
    for known in (False, None):
        tank = making.tank(fittings=TankFittings(calmed_inlet=known, floating_intake=known))
        site = making.site(tanks=(tank,), lines=(line,))
        assert words(order_of(site, line)) == ["tank tank", "taps house"]


def test_the_screen_of_a_roof_that_is_not_caught_is_on_no_way(made, making):
    line = made.line()
    screened = replace(making.roof(), screens=(SCREEN,))
    away, other = (replace(screened, name=to or "away", drains_to=to) for to in ("", "barn"))
    tanks = (making.tank(), making.tank(name="barn"))
    site = making.site(roofs=(making.roof(), away, other), tanks=tanks, lines=(line,))
    assert words(order_of(site, line))[0] == "tank tank"


def test_the_pressure_tank_stands_where_it_is_said(made):
    for after, at in (("", 1), ("coarse", 2), ("lamp", 5), ("nothing of that name", 0)):
        line = made.line(*made.LIT, pressure_tank=PressureTank(50.0, after=after))
        kinds = [one.kind for one in in_the_line(line)]
        assert (kinds.index("pressure tank") if "pressure tank" in kinds else 0) == at


def test_water_reaches_on_by_lifts_and_spills(making):
    tanks = (
        making.tank(name="barn", overflow_to="pond"),
        making.tank(name="pond", overflow_to="swale"),
        making.tank(name="house", overflow_to="barn"),
        making.tank(name="header"),
    )
    site = making.site(tanks=tanks, lifts=(LIFT,))
    assert reached_from(site, "header") == {"header"}
    assert reached_from(site, "pond") == {"pond"}
    assert reached_from(site, "barn") == {"barn", "pond", "header"}
    assert reached_from(site, "house") == {"house", "barn", "pond", "header"}


def test_tanks_that_spill_in_a_circle_end(making):
    tanks = (making.tank(name="one", overflow_to="two"), making.tank(name="two", overflow_to="one"))
    assert reached_from(making.site(tanks=tanks), "one") == {"one", "two"}


def named(made, making, lines, *uses):
    site = making.site(uses=uses, lines=lines)
    return [[use.name for use in uses_of(site, line)] for line in lines]


def test_a_line_serves_what_it_is_said_to_serve(made, making):
    house, garden = making.use(name="house"), making.use(name="garden")
    line = made.line(*made.LIT, serves=("house",))
    assert named(made, making, (line,), house, garden) == [["house"]]


def test_else_all_that_its_tank_serves_first(made, making):
    house = making.use(name="house")
    second = making.use(name="second", draws_from=("other", "tank"))
    nowhere = making.use(name="nowhere", draws_from=())
    assert named(made, making, (made.line(),), house, second, nowhere) == [["house"]]


def test_who_is_served_by_another_line_is_not_served_here(made, making):
    house, herd = making.use(name="house"), making.use(name="herd", end_use="animals")
    kitchen = made.line(*made.LIT)
    troughs = (Trough("trough", 400.0, waters="herd"),)
    field = replace(made.line(), name="field", outlets=(), troughs=troughs)
    assert named(made, making, (kitchen, field), house, herd) == [["house"], ["herd"]]
    said = replace(made.line(), name="second", serves=("herd",))
    assert named(made, making, (kitchen, said), house, herd) == [["house"], ["herd"]]


def test_a_line_without_taps_serves_nobody(made, making):
    assert named(made, making, (made.line(outlets=()),), making.use()) == [[]]


def test_drinking_anywhere_on_a_line_makes_it_a_line_that_drinks(made, making):
    barriers = made.Barriers(making)
    (run,) = barriers.run(made.line(*made.LIT))
    assert run.drinks
    (rinsed,) = barriers.run(made.line(*made.LIT), end_use="indoor")
    assert not rinsed.drinks


def test_a_line_without_a_pump_runs_by_gravity(made, making):
    barriers = made.Barriers(making)
    for line in (made.line(*made.LIT), made.line(*made.LIT, pump=None, pressure_tank=None)):
        (run,) = barriers.run(line)
        assert run.by_gravity is (line.pump is None)


def test_two_lines_are_judged_apart(made, making):
    barriers = made.Barriers(making)
    lit = made.line(*made.LIT, serves=("house",))
    tap = Outlet("yard tap", "hose bibb", level_m=4.0)
    bare = replace(made.line(outlets=(tap,)), name="yard", serves=())
    site = replace(barriers.site(lit), lines=(lit, bare))
    (run,) = barriers_in_order(site, (made.pumped(lit), made.pumped(bare)))
    assert run.line.name == "house"
