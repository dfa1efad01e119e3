"""Collection pipes as plain data and as a page; the site is invented."""

import csv
import json
from dataclasses import replace
from importlib.resources import files
from io import StringIO

import pytest
from rich.console import Console

from eavewell.answers.conveyance import conveyance_answer, first_flush_answer
from eavewell.answers.shown import Sizes
from eavewell.hydraulics.first_flush_pipe import flush_pipes
from eavewell.report.conveyance import conveyance_section
from eavewell.site.first_flush import FirstFlush
from eavewell.terminal.page import laid_out


def plain_of(p, *runs, mm_h=100.0, flush=None):
    whole = p.site(*runs, roofs=(replace(p.roof(), first_flush=flush),))
    result = p.conveyed(whole, mm_h, flushes=flush_pipes(whole, gap_days=4.0))
    return {"conveyance": conveyance_answer(result), "first_flush": first_flush_answer(result)}


@pytest.fixture
def plain(made_up_pipes):
    p = made_up_pipes
    flush = FirstFlush(depth_mm=0.5, bore_mm=154.0, drain_l_h=20.0)
    return plain_of(p, p.dry("down"), p.wet("under"), flush=flush)


def keys(value, at):
    """Every key of a tree as the table of the answer writes it."""
    if isinstance(value, dict):
        return {key for name, inner in value.items() for key in keys(inner, f"{at}.{name}")}
    if isinstance(value, list):
        return {key for inner in value for key in keys(inner, f"{at}[]")}
    return {at}


def test_every_key_stands_in_the_table(plain):
    text = files("eavewell").joinpath("tables/answers/design.csv").read_text(encoding="utf-8")
    known = {row["key"] for row in csv.DictReader(text.splitlines())}
    ours = {k for k in known if k.startswith(("hydraulics.conveyance.", "hydraulics.first_flush"))}
    assert keys(plain, "hydraulics") == ours
    json.dumps(plain, allow_nan=False)


def test_a_main_that_nothing_fills_is_written(made_up_pipes):
    p = made_up_pipes
    empty = plain_of(p, p.wet(carries=(), opening_m=4.0))
    assert empty["conveyance"]["mains"][0]["spills_from_mm_h"] is None
    json.dumps(empty, allow_nan=False)


def page(plain, system="us"):
    console = Console(file=StringIO(), width=80, color_system=None)
    for part in conveyance_section({"hydraulics": plain}, Sizes(system)):
        console.print(laid_out([part]))
    return console.file.getvalue()


def test_the_page(plain):
    text = page(plain)
    assert "down" in text
    assert "under, held full" in text
    assert "5-minute rain of 10 years, 3.94 in/h" in text
    # 30 m of four inches: 243.2 L
    assert "64.3 gal stand in under" in text
    assert "first flush of" in text
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "243 L" in page(plain, "metric")


def test_head_to_spare_and_head_that_lacks(plain):
    (main,) = (one for one in plain["conveyance"]["mains"])
    main |= {"spare_m": 0.3048}
    assert "it has 1 ft of head to spare" in " ".join(page(plain).split())
    main |= {"spare_m": -0.3048}
    assert "it lacks 1 ft of head" in " ".join(page(plain).split())


def test_the_page_says_nothing_of_nothing_and_unknown_of_the_unknown(made_up_pipes):
    p = made_up_pipes
    assert page(plain_of(p)) == ""
    assert "unknown" in page(plain_of(p, p.dry(), p.wet("under"), mm_h=None))
