"""Pumped lines as plain data and as a page; house and pump are invented."""

import json
from dataclasses import replace
from io import StringIO

import jsonschema
import pytest
from rich.console import Console

from eavewell.answers.schema import schema
from eavewell.answers.service import service_answer
from eavewell.answers.shown import Sizes
from eavewell.files.site.generic_pumps import generic_pump
from eavewell.hydraulics.service import serve
from eavewell.report.service import service_section
from eavewell.site.line import InLine, Line, PressureTank
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.place import Place
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.terminal.page import laid_out

TANK = Tank("tank", shape=UprightCylinder(3.0, 2.5), base_m=0.0, outlet_m=0.2)
LINE = Line(
    "house",
    "tank",
    Pipe(26.6, 12.0),
    pump=generic_pump("1/2 hp jet"),
    pump_m=0.0,
    suction=Pipe(35.1, 2.0),
    cut_in_m=21.0,
    cut_out_m=35.0,
    pressure_tank=PressureTank(150.0, 19.6),
    dry_run_m=0.3,
    in_line=(InLine("filter", "filter", 0.6, 1.0, 5.0),),
    outlets=(
        Outlet("sink", "kitchen sink", level_m=1.0),
        Outlet("basins", "lavatory", 2, level_m=1.0),
        Outlet("hose", "hose bibb", level_m=0.5),
    ),
)
BARE = Line("bare", "tank", Pipe(26.6, 12.0), pump=generic_pump("1/2 hp jet"))
CONTROLS = ("switch", "on demand", "variable speed")


def plain_of(making, line):
    site = making.site(tanks=(TANK,), lines=(line,), place=Place(30.0, -98.0, 300.0))
    return service_answer(serve(site, {"house": 300.0}))


def page(plain, system="us"):
    paper = StringIO()
    console = Console(file=paper, width=90, color_system=None)
    for part in service_section({"hydraulics": {"service": plain}}, Sizes(system)):
        console.print(laid_out([part]))
    return " ".join(paper.getvalue().split())


@pytest.mark.parametrize("line", [LINE, *(replace(LINE, control=one) for one in CONTROLS), BARE])
def test_by_the_schema(making, line):
    plain = plain_of(making, line)
    layout = schema()["properties"]["hydraulics"]["properties"]["service"]
    jsonschema.validate(plain, layout, cls=jsonschema.Draft202012Validator)
    assert json.loads(json.dumps(plain, allow_nan=False)) == plain


def test_the_budget_adds_up(making):
    (line,) = plain_of(making, LINE)
    budget = line["budget"]
    for state in ("clean", "dirty"):
        left = sum(one[f"{state}_m"] for one in budget["lines"])
        assert left == pytest.approx(budget[f"left_{state}_m"])
    assert budget["spare_m"] == pytest.approx(budget["left_dirty_m"] - budget["needs_m"])


def test_the_page(making):
    text = page(plain_of(making, LINE))
    for words in (
        "at the pump, cut-in",
        "rise to the outlet",
        "with hose running beside",
        "IPC 2018, table E103.3(3)",
        "starts at most",
        "for each 1,000 gal",
        "on an average day",
        "at the start",
        "suction head",
    ):
        assert words in text
    metric = page(plain_of(making, LINE), "metric")
    assert not {"gal", "psi", "ft", "gal/min"} & set(metric.split())
    assert "for each 1,000 L" in metric


@pytest.mark.parametrize("control", CONTROLS[1:])
def test_other_controls_tell_their_own_rules(making, control):
    text = page(plain_of(making, replace(LINE, control=control)))
    for words in (f"A pump {control}: air", "Least flow:", "Leaks:", "Running dry:"):
        assert words in text
    assert "Least flow:" not in page(plain_of(making, LINE))


def test_one_outlet_and_a_tank_shared_with_others(making):
    (line,) = plain_of(making, replace(LINE, outlets=LINE.outlets[2:]))
    text = page([line | {"kwh_day": None}])
    assert "(hose)" in text
    assert "Alone, hose keeps" in text
    assert "unknown on an average day" in text


def test_what_is_unknown_is_not_printed(making):
    text = page(plain_of(making, BARE))
    assert "cut-in" not in text
    assert "Peak flow" not in text
    assert page([]) == ""
