"""The order in the words and sizes by which a shop sells; all sites invented."""

from pathlib import Path

from eavewell.cost.parts import take_off
from eavewell.cost.pipe_parts import pipe_parts
from eavewell.cost.tank_parts import tank_parts
from eavewell.files.site.reader import site_of_text
from eavewell.report.blocks import Rows
from eavewell.report.parts import parts_page
from eavewell.site.pipe import Pipe
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder

WHOLE_HOUSE = Path(__file__).parents[2] / "examples" / "whole-house" / "site.toml"


def test_a_tank_is_ordered_by_the_size_its_maker_states():
    shape = UprightCylinder(2.4, 2.3)
    bought = next(iter(tank_parts(Tank("main", 2, stated_l=10000.0, shape=shape))))
    assert (bought.count, bought.size) == (2, 10000.0)
    by_shape = next(iter(tank_parts(Tank("main", 2, shape=shape))))
    # 0.7854 x 2.4 x 2.4 x 2.3 = 10.405 m3
    assert round(by_shape.size) == 10405


def test_a_pump_is_called_by_its_power_and_its_kind_once():
    site = site_of_text(WHOLE_HOUSE.read_text(encoding="utf-8"))
    (pump,) = (part for part in take_off(site).order if part.part == "jet pump")
    assert pump.called == "3/4 hp"


def test_the_order_keeps_what_tells_one_purchase_from_another():
    part = {"part": "elbow", "called": "4 in", "size": 102.26, "stand": "along the trench"}
    part |= {"where": "", "count": 2.0, "unit": "each", "spares": 1.0, "stock_pieces": 0}
    part |= {"says": "45 degrees", "joins": "solvent weld"}
    answer = {"site": "Invented", "cost": {"parts": [], "order": [part]}}
    (order,) = (block for block in parts_page(answer, system="us") if isinstance(block, Rows))
    assert order.notes == ("45 degrees; solvent weld",)


def test_a_quarter_inch_tube_is_no_pvc_pipe():
    parts = list(pipe_parts(Pipe(4.32, 40.0), where="here", stand="along the line"))
    assert [(part.part, part.called) for part in parts] == [
        ("polyethylene pipe", "1/4 in tube"),
        ("coupling", "1/4 in tube"),
    ]
    assert {part.joins for part in parts} == {"clamped insert or compression"}


def test_copper_is_closed_with_solder_free_of_lead():
    parts = list(pipe_parts(Pipe(20.93, 6.0, "copper"), where="here", stand="along the line"))
    (solder,) = (part for part in parts if part.part == "solder")
    assert solder.joins.startswith("lead-free")
    # a coupling and the two ends: four joints of the 80 that a roll closes
    assert solder.count == 4 / 80
    assert "solvent cement" not in {part.part for part in parts}
