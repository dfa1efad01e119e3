"""The eaves as plain data and as a page; the roof and its storms are invented."""

import csv
import json
import math
import re
from importlib.resources import files
from io import StringIO

import pytest
from rich.console import Console

from eavewell.answers.eaves import eaves_answer
from eavewell.answers.shown import Sizes
from eavewell.report.eaves import eaves_section
from eavewell.site.screen import Screen
from eavewell.terminal.page import laid_out


@pytest.fixture
def plain(made_up_eaves):
    run = made_up_eaves.gutter(spills_on="door")
    whole = made_up_eaves.site(run, area_m2=30.0, screens=(Screen("leaf", 0.98, clean_l_s=2.0),))
    return eaves_answer(made_up_eaves.drained(whole))


def page(plain, system="us"):
    paper = StringIO()
    console = Console(file=paper, width=100, color_system=None)
    for part in eaves_section({"hydraulics": {"eaves": plain}}, Sizes(system)):
        console.print(laid_out([part]))
    return paper.getvalue()


def keys(plain):
    for key, value in plain.items():
        if isinstance(value, list):
            yield from (f"{key}[].{name}" for name in value[0])
        else:
            yield key


def test_every_key_has_its_row(plain):
    text = files("eavewell.tables").joinpath("answers/design.csv").read_text(encoding="utf-8")
    named = [row["key"] for row in csv.DictReader(text.splitlines())]
    ours = [key for key in named if key.startswith("hydraulics.eaves.")]
    assert ours == [f"hydraulics.eaves.{key}" for key in keys(plain)]


def test_plain_data_in_si_units(plain):
    assert json.loads(json.dumps(plain)) == plain
    (run,), (screen,) = plain["runs"], plain["screens"]
    assert (plain["storm_years"], plain["storm_minutes"]) == (10, 5)
    assert (run["flow_l_s"], run["holds"], run["governing"]) == (pytest.approx(1.5), True, "gutter")
    assert run["transition_l_s"] is None
    assert screen["half_clogged_l_s"] == 1.0


def test_unknown_stays_null(made_up_eaves):
    whole = made_up_eaves.site(made_up_eaves.gutter(downspout=None))
    plain = eaves_answer(made_up_eaves.drained(whole, storms=made_up_eaves.NoStorms()))
    (run,) = plain["runs"]
    assert plain["intensity_mm_h"] is None
    assert [run[key] for key in ("flow_l_s", "holds", "downspout_l_s")] == [None, None, None]
    assert "the storm is unknown: no rain is known" in page(plain)


def test_rarer_than_all_known_storms_is_null(made_up_eaves):
    class Beyond(made_up_eaves.MadeUpStorms):
        def years_of(self, minutes, mm_h):
            return math.inf

    whole = made_up_eaves.site(made_up_eaves.gutter())
    (run,) = eaves_answer(made_up_eaves.drained(whole, storms=Beyond()))["runs"]
    assert run["spills_once_in_years"] is None


def test_the_page(plain):
    text = page(plain)
    assert "gal/min" in text
    assert "7.09 in/h, 5.67 to 9.21 in/h (invented)" in " ".join(text.split())
    # 1.5 L/s asked, 26.2 gal/min in the gutter
    assert re.search(r"north +23.8 gal/min +26.2 gal/min +gutter", text)
    assert "it spills over a door" in text
    assert re.search(r"north +1.5 L/s +1.65 L/s +gutter", page(plain, "metric"))


def test_other_rules_are_named_where_they_differ(plain):
    # 0.25 L/s under the code's hour of 100 years: a fall is wanted by the code's gutter table
    by_code = {other["method"]: other for other in plain["other_rules"]}["IPC 2018"]
    assert (by_code["years"], by_code["minutes"], by_code["unknown"]) == (100, 60, 1)
    assert "sheet metal" in {other["method"] for other in plain["other_rules"]}
    differs = plain | {"other_rules": [by_code | {"unknown": 0, "spill": 1}]}
    assert "1 of 1; 0 by IPC 2018." in " ".join(page(differs).split())
    assert "Runs that hold" not in page(plain | {"other_rules": []})


def test_no_page_where_no_gutter_is_described(made_up_eaves):
    assert page(eaves_answer(made_up_eaves.drained(made_up_eaves.site()))) == ""
