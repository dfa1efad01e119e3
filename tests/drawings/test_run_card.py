"""The run card: times and flows of the answers, valves of the tags, four lines to a card."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from tests.drawings.looking import met, unboxed

from eavewell.answers.gravity import gravity_answer
from eavewell.answers.service import service_answer
from eavewell.drawings.compose import compose
from eavewell.drawings.run_card import run_card
from eavewell.drawings.tags import tags
from eavewell.files.site.reader import read_site
from eavewell.hydraulics.gravity import gravity_lines
from eavewell.hydraulics.service import serve
from eavewell.units import show

EXAMPLES = Path(__file__).parents[2] / "examples"
BLOCK = {"record": "invented", "date": "2027-03-01"}
DRIPS = ("whole-house", "low-eaves", "barrels")


def example(name):
    return read_site(EXAMPLES / name / "site.toml")


def answered(site):
    gravity = gravity_answer(gravity_lines(site, peak_l_day={}))
    return {"hydraulics": {"gravity": gravity, "service": service_answer(serve(site))}}


@cache
def of_example(name):
    return answered(example(name))


def cards(site, answer):
    return [compose(sheet) for sheet in run_card(site, answer, block=BLOCK)]


def renamed(name, *names):
    """The answers of an example with its first lateral under other names."""
    lines = of_example(name)["hydraulics"]["gravity"]
    (line, *_) = [one for one in lines if one["laterals"]]
    laterals = [line["laterals"][0] | {"name": new} for new in names]
    return {"hydraulics": {"gravity": [line | {"laterals": laterals}], "service": []}}


def words(papers):
    return [one.text.words for paper in papers for one in paper.words]


@pytest.mark.parametrize("name", DRIPS)
def test_no_words_stand_on_words(name):
    for paper in cards(example(name), of_example(name)):
        assert paper.lost == ()
        assert met(paper) == []
        assert unboxed(paper) == []
        assert all(one.box.left >= 10.0 for one in paper.words)
        assert all(one.box.right <= paper.width_mm - 10.0 for one in paper.words)


@pytest.mark.parametrize("name", DRIPS)
def test_the_time_gives_the_least_plant_its_day(name):
    site = example(name)
    said = words(cards(site, of_example(name)))
    times = [found for text in said if (found := re.fullmatch(r"(?:(\d+) h )?(\d+) min", text))]
    laterals = [lateral for line in site.lines for lateral in line.laterals]
    answers = [
        one for line in of_example(name)["hydraulics"]["gravity"] for one in line["laterals"]
    ]
    assert len(times) == len(laterals)
    for lateral, found, told in zip(laterals, answers, times, strict=True):
        hours = int(told[1] or 0) + int(told[2]) / 60.0
        given_l = hours * min(found["half"]["plant_l_h"])
        one_minute_l = min(found["half"]["plant_l_h"]) / 60.0
        assert lateral.plant_l_day <= given_l <= lateral.plant_l_day + one_minute_l


@pytest.mark.parametrize("name", DRIPS)
def test_first_and_last_plants_are_those_of_the_answers(name):
    said = " ".join(words(cards(example(name), of_example(name))))
    for line in of_example(name)["hydraulics"]["gravity"]:
        for one in line["laterals"]:
            for level in ("full", "low"):
                flows = one[level]["plant_l_h"]
                first, last = (show(flows[at], "bleed", system="us") for at in (0, -1))
                assert f"tank {level}: first plant {first}, last {last}" in said


def test_the_valve_is_the_tag_of_its_line():
    site = example("barrels")
    (valve,) = [
        one.number for one in tags(site) if (one.kind, one.name) == ("outlet valve", "bed line")
    ]
    assert any(
        text.startswith(f"valve {valve};") for text in words(cards(site, of_example("barrels")))
    )


def test_what_was_not_worked_out_says_why():
    site = example("barrels")
    (bed,) = [line for line in site.lines if line.laterals]
    unknown = replace(bed, laterals=tuple(replace(one, level_m=None) for one in bed.laterals))
    bare = replace(site, lines=(unknown,))
    said = words(cards(bare, answered(bare)))
    assert "not worked out: a level is unknown" in said
    assert "time unknown" in said


def test_four_lines_to_a_card():
    site = example("barrels")
    (bed,) = [line for line in site.lines if line.laterals]
    many = tuple(replace(bed.laterals[0], name=f"row {at}") for at in range(9))
    answer = renamed("barrels", *(one.name for one in many))
    papers = cards(replace(site, lines=(replace(bed, laterals=many),)), answer)
    assert len(papers) == 3
    assert all(met(paper) == [] for paper in papers)


def test_no_drip_line_no_card():
    assert cards(example("part-year"), of_example("part-year")) == []


def test_a_card_is_half_a_letter_sheet():
    (paper,) = cards(example("barrels"), of_example("barrels"))
    assert (paper.width_mm, paper.height_mm) == pytest.approx((8.5 * 25.4, 5.5 * 25.4))


@pytest.mark.parametrize("name", ["<b>&\"'</b>", "x" * 300])
def test_odd_names_keep_to_the_card(name):
    site = replace(example("whole-house"), name=name)
    garden = [line for line in site.lines if line.laterals]
    lines = tuple(
        replace(line, laterals=tuple(replace(one, name=name) for one in line.laterals[:1]))
        for line in garden
    )
    (paper,) = cards(replace(site, lines=lines), renamed("whole-house", name))
    assert met(paper) == []
    assert all(one.box.right <= paper.width_mm - 10.0 for one in paper.words)


def test_a_pumped_drip_line_has_its_time_at_the_least_pressure():
    site = example("whole-house")
    (house,) = [line for line in site.lines if line.pump is not None]
    (garden, *_) = [line for line in site.lines if line.laterals]
    row = replace(garden.laterals[0], at_m=0.0, name="house row")
    pumped = replace(site, lines=(replace(house, laterals=(row,)),))
    answer = answered(pumped)
    ((found,),) = [line["drip"] for line in answer["hydraulics"]["service"]]
    assert min(found["most"]["plant_l_h"]) > min(found["least"]["plant_l_h"]) > 0.0
    # an emitter passes its rated flow x (head / rated head) ** exponent, and no head above
    # cut-out stands at any plant
    rated, emitter = row.each * row.emitter.rated_l_h, row.emitter
    top_m = house.pump_m + house.cut_out_m - row.level_m
    most = rated * (top_m / emitter.rated_m) ** emitter.exponent
    assert max(found["most"]["plant_l_h"]) <= most
    assert found["hours"] == pytest.approx(row.plant_l_day / min(found["least"]["plant_l_h"]))
    said = " ".join(words(cards(pumped, answer)))
    first = show(found["least"]["plant_l_h"][0], "bleed", system="us")
    assert f"least pressure: first plant {first}" in said
    assert "not worked out" not in said
