"""Any tanks at all, with anything unknown: sentences, never a fault; every site is invented."""

import json
import random
from dataclasses import replace
from io import StringIO

import pytest
from rich.console import Console

from eavewell.answers.shown import Sizes
from eavewell.answers.tanks import tanks_answer
from eavewell.findings.tank import tanks_connect
from eavewell.hydraulics.tank_connections import connect
from eavewell.report.tanks import tanks_section
from eavewell.site.ground import Ground
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.line import Line
from eavewell.site.pipe import Pipe
from eavewell.site.pump import Pump
from eavewell.site.screen import Screen
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Link, Overflow, TankFittings
from eavewell.site.tank_shape import Box, ConeBottom, HorizontalCylinder, UprightCylinder
from eavewell.terminal.page import laid_out

NAMES = ("one", "two", "three")
SHAPES = (
    UprightCylinder(2.0, 2.0),
    Box(0.1, 0.1, 0.2),
    HorizontalCylinder(1.5, 4.0),
    ConeBottom(3.0, 1.0, 9.0),
)
PUMP = Pump("pump", "sump", ((0.0, 9.0), (3.0, 1.0)))


def some(rng, *values):
    return rng.choice((None, *values))


def truth(rng):
    return some(rng, True, False)


def a_pipe(rng):
    return Pipe(rng.choice((4.0, 50.0, 400.0)), rng.choice((0.0, 0.01, 30.0, 900.0)))


def an_overflow(rng):
    wall = rng.random() < 0.2
    return Overflow(
        pipe=None if wall else some(rng, a_pipe(rng)),
        weir_m=rng.choice((0.0, 0.5)) if wall else None,
        count=rng.choice((1, 3)),
        screened=rng.random() < 0.5,
        air_break_m=some(rng, 0.0, 0.1),
        away_m=some(rng, 0.0, 2.0, 9.0),
        end_m=some(rng, -3.0, 0.2, 20.0),
        fall=some(rng, -0.1, 0.0, 0.05),
    )


def some_fittings(rng, count):
    return TankFittings(
        inlet_m=some(rng, 0.0, 1.9),
        inlet_mm=some(rng, 0.0, 100.0, 900.0),
        overflow=some(rng, an_overflow(rng)),
        link=some(rng, Link(a_pipe(rng), rng.choice((0.0, 0.5)), truth(rng), truth(rng))),
        bases_m=rng.choice(((), tuple(rng.choice((0.0, 0.1, 5.0)) for _ in range(count)))),
        vent_mm=some(rng, 0.0, 5.0, 100.0),
        vent_screened=rng.random() < 0.5,
        drain_mm=some(rng, 0.0, 40.0),
        translucent=truth(rng),
        hauled_l_s=some(rng, 0.0, 15.0),
        truck_fill_gap=truth(rng),
        make_up_l_s=some(rng, 0.0, 0.3),
        air_gap_m=some(rng, 0.0, 0.02, 0.2),
    )


def a_tank(rng, name):
    count = rng.choice((1, 1, 2, 5))
    return Tank(
        name,
        count=count,
        stated_l=rng.choice((0.0, 200.0, 20000.0)),
        shape=some(rng, *SHAPES),
        base_m=some(rng, -3.0, 0.0, 12.0),
        outlet_m=some(rng, 0.0, 0.1, 1.5),
        overflow_m=some(rng, 0.0, 0.15, 1.4, 2.0, 9.0),
        overflow_to=rng.choice(("", "swale", *NAMES)),
        open_area_m2=rng.choice((0.0, 3.0)),
        is_sump=rng.random() < 0.2,
        fittings=some_fittings(rng, count) if rng.random() < 0.9 else TankFittings(),
        material=rng.choice(("", "polyethylene", "concrete")),
    )


def a_lift(rng):
    return Lift(
        "lift",
        rng.choice(("mains", *NAMES)),
        rng.choice(NAMES),
        target_start_share=rng.choice((0.2, 1.0)),
        pump=some(rng, PUMP),
        riser=some(rng, a_pipe(rng)),
    )


def a_site(rng, making):
    screens = rng.choice(((), (Screen("screen", 0.9, mesh_mm=some(rng, 0.0, 1.0, 9.0)),)))
    roofs = tuple(
        replace(making.roof(area_m2, rng.choice(("", *NAMES)), name), screens=screens)
        for name, area_m2 in (("north", 0.0), ("south", rng.choice((50.0, 3000.0))))
    )
    line = Line("line", "one", a_pipe(rng), pump=some(rng, PUMP))
    return making.site(
        roofs=roofs,
        tanks=tuple(a_tank(rng, name) for name in NAMES),
        uses=(making.use(draws_from=("one",), fallback=rng.choice(("none", "mains"))),),
        lifts=rng.choice(((), (a_lift(rng),))),
        hauling=rng.choice(((), (Hauling("two", 8000.0, 3),))),
        lines=rng.choice(((), (line,))),
        ground=Ground(floor_m=some(rng, -1.0, 1.0)),
    )


@pytest.mark.parametrize("seed", range(150))
def test_sentences_never_a_fault(making, made_up_tanks, seed):
    rng = random.Random(seed)
    site = a_site(rng, making)
    connected = connect(site, made_up_tanks.Storms(some(rng, 0.0, 90.0, 300.0)))
    for finding in tanks_connect(site, connected):
        assert finding.says.endswith(".")
        assert finding.level == "note" or finding.fix
        assert "inf" not in finding.fix.split()
        assert finding.level in ("stop", "fix", "watch", "note")
        if finding.limit is not None and finding.measured is not None:
            assert finding.unit
            assert finding.source
    answer = tanks_answer(connected)
    assert json.loads(json.dumps(answer, allow_nan=False)) == answer
    console = Console(file=StringIO(), width=88)
    for part in tanks_section({"hydraulics": {"tanks": answer}}, Sizes("us")):
        console.print(laid_out([part]))
