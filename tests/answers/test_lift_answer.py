"""Lifts as plain data and as a page; barn, storm and rain are invented."""

import csv
import json
from importlib.resources import files
from io import StringIO
from types import SimpleNamespace

import numpy as np
import pytest
from rich.console import Console

from eavewell.answers.lift import lifts_answer
from eavewell.answers.shown import Sizes
from eavewell.hydraulics.sump_sizes import sump_sizes
from eavewell.report.lift import lift_section
from eavewell.storage.within_day import capture
from eavewell.terminal.page import laid_out

DAYS = 730


@pytest.fixture
def plain(making, made_up_lift):
    site = made_up_lift.barn(making)
    lifted = made_up_lift.lifted(site, 100.0)
    rng = np.random.default_rng(5)
    steps = np.where(rng.random((146, 288)) < 0.05, rng.exponential(1.5, (146, 288)), 0.0)
    steps[:, 0] += 0.2
    within = SimpleNamespace(rows=np.arange(0, DAYS, 5), steps_mm=steps.astype(np.float32))
    runoff = np.zeros(DAYS)
    runoff[within.rows] = 0.85 * steps.sum(axis=1)
    water = making.series(runoff, np.zeros(DAYS))
    sizes = {
        one.lift.name: sump_sizes(site, water, within=within, duty=one) for one in lifted.lifts
    }
    captured = capture(site, water, within=within, lifts=lifted.numbers)
    return lifts_answer(lifted, captured=captured, sizes=sizes)


@pytest.fixture
def unknown(making, made_up_lift):
    up = made_up_lift.lift(pump=None, riser=None, stop_m=None, start_m=None)
    lifted = made_up_lift.lifted(made_up_lift.barn(making, up=up), None)
    return lifts_answer(lifted, captured=(), sizes={})


def keys(node, path):
    if isinstance(node, dict):
        for key, value in node.items():
            yield from keys(value, f"{path}.{key}")
    elif isinstance(node, list):
        yield from keys(node[0] if node else None, f"{path}[]")
    else:
        yield path


def page(plain, system="us"):
    paper = StringIO()
    console = Console(file=paper, width=90, color_system=None)
    for part in lift_section({"hydraulics": {"lifts": plain}}, Sizes(system)):
        console.print(laid_out([part]))
    return paper.getvalue()


def test_every_key_has_its_row(plain):
    text = files("eavewell.tables").joinpath("answers/design.csv").read_text(encoding="utf-8")
    named = [row["key"] for row in csv.DictReader(text.splitlines())]
    ours = [key for key in named if key.startswith("hydraulics.lifts")]
    assert sorted(ours) == sorted(keys(plain, "hydraulics.lifts"))


def test_plain_data_closes(plain):
    assert json.loads(json.dumps(plain)) == plain
    (lift,) = plain
    years = DAYS / 365.25
    came = sum(year["runoff_l"] for year in lift["years"])
    went = (lift["captured_l_per_year"] + lift["overtopped_l_per_year"]) * years
    assert came == pytest.approx(went + lift["held_at_end_l"])
    assert abs(lift["balance_error_l"]) < 1e-9 * came
    assert sum(storm["days"] for storm in lift["storms"]) == DAYS / 5


def test_unknown_stays_null(unknown):
    (lift,) = unknown
    nulls = ("captured_share", "inflow_l_s", "between_floats_l", "energy_kwh_per_m3")
    assert all(lift[key] is None for key in nulls)
    assert lift["pump"] == ""
    assert lift["unknown"]


def test_the_page(plain):
    text = page(plain)
    for words in ("Sump and lift", "1/2 hp sump", "gal/min", "heavy rain", "power out", "not rain"):
        assert words in text
    assert " L" not in text.replace(" Lift", "")
    assert "gal" not in page(plain, "metric")


def test_nothing_is_printed_where_there_is_no_lift(unknown):
    assert page([]) == ""
    assert "captured" not in page(unknown)


def test_what_a_full_tank_refuses_and_a_sharper_storm_are_said(plain):
    told = plain[0] | {"sharper_captured_share": 0.5, "refused_l_per_year": 3785.411784}
    text = " ".join(page([told]).split())
    assert "50 % in storms as sharp as the site's own" in text
    assert "no room for 1,000 gal of it, which the sump spills" in text
    assert "no room" not in page(plain)
