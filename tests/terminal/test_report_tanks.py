"""The part of the report on tank fittings, from plain data alone."""

import io
import re

import pytest
from rich.console import Console

from eavewell.answers.shown import Sizes
from eavewell.answers.tanks import tanks_answer
from eavewell.hydraulics.tank_connections import connect
from eavewell.report.tanks import tanks_section
from eavewell.terminal.page import laid_out


@pytest.fixture
def plain(making, made_up_tanks):
    def _plain(tank):
        site = making.site(tanks=(tank,), roofs=(making.roof(40.0),))
        return tanks_answer(connect(site, made_up_tanks.Storms()))

    return _plain


def page(tanks, system="metric", width=88):
    out = io.StringIO()
    console = Console(file=out, width=width)
    for part in tanks_section({"hydraulics": {"tanks": tanks}}, Sizes(system)):
        console.print(laid_out([part]))
    return out.getvalue()


def test_a_tank_with_fittings(plain, made_up_tanks):
    text = page(plain(made_up_tanks.TANK))
    # 40 m2 at 90 mm/h; 3.14 m2 x 2 m, 0.1 m and 1.6 m of it
    for said in ("1 L/s", "6,280 L", "314 L", "5,030 L", "overflow to swale", "drains in"):
        assert said in text
    assert max(map(len, text.splitlines())) <= 88


def test_a_row_on_unequal_floors_names_its_shims(plain, made_up_tanks):
    uneven = made_up_tanks.fitted(made_up_tanks.ROW, bases_m=(0.0, 0.2))
    (tank,) = plain(uneven)
    assert tank["spills_first"] == 1
    assert tank["shims_m"] == [pytest.approx(0.2), 0.0]
    assert "raise its tanks by 0.2 m and 0 m" in page([tank])
    assert "each drains in" in page([tank])


def test_nothing_is_said_of_bare_tanks(plain, making):
    assert page(plain(making.tank())) == ""
    assert page([]) == ""


def test_what_is_unknown_is_a_dash(plain, made_up_tanks):
    text = page(plain(made_up_tanks.fitted(made_up_tanks.TANK, overflow=None)))
    assert re.search(r"tank +1 L/s +-", text)
