"""The parts of the report on barriers and on what the roofs allow, from plain data alone."""

import re
from dataclasses import replace

import pytest

from eavewell.answers.barriers import barriers_answer
from eavewell.answers.cautions import cautions_answer
from eavewell.answers.fitness import fitness_answer
from eavewell.answers.shown import Sizes
from eavewell.report.barriers import barriers_section
from eavewell.report.fitness import fitness_section
from eavewell.site.barrier import Lamp
from eavewell.site.line import PressureTank
from eavewell.site.surface import Surface
from eavewell.terminal.printed import on_paper
from eavewell.treatment.classes import fit_for_use


@pytest.fixture
def made(made_up_barriers):
    return made_up_barriers


@pytest.fixture
def barriers(made, making):
    return made.Barriers(making)


@pytest.fixture
def page(barriers):
    def _page(line, *, system="us", **fields):
        found = barriers.run(line, **fields)
        answer = {
            "treatment": {"lines": barriers_answer(found)},
            "cautions": cautions_answer(barriers.site(line)),
        }
        return on_paper(barriers_section(answer, Sizes(system)))

    return _page


def words(text):
    return " ".join(text.split())


def test_a_lit_line(made, page):
    text = page(made.line(*made.LIT), asks=made.asking(giardia=3.0))
    order = "House, for house: tank > pump > pressure tank > filter (coarse) > filter (fine) > "
    assert order + "carbon > lamp > taps." in words(text)
    assert re.search(r"Giardia +4\.0 +3 +lamp", text)
    assert re.search(r"Cryptosporidium +4\.0 +ask +lamp", text)
    assert re.search(r"virus +0\.5 +ask +lamp", text)
    assert "In a power cut its valve shuts the line." in words(text)
    # 40,000 L at 400 L a day
    assert "fine every 100 days" in words(text)
    assert "Listed as their makers state, which is no dose: lamp class A." in words(text)
    assert "health department" in text
    assert max(map(len, text.splitlines())) <= 88


def test_litres_that_run_unlit(made, page):
    open_ = made.with_works(made.LAMP, shut_valve=False)
    line = made.line(made.FINE, open_)
    text = words(page(line))
    said = re.search(r"In a power cut (?:at least )?([\d.]+) gal still run to the taps unlit", text)
    # 50 gal from 50 to 28 psi at 400 m of height
    assert float(said.group(1)) == pytest.approx(17.2, abs=0.11)
    unknown = replace(line, pressure_tank=PressureTank(190.0))
    assert "how much is unknown" in words(page(unknown))
    metric = re.search(r"cut (?:at least )?([\d.]+) L still", words(page(line, system="metric")))
    assert float(metric.group(1)) == pytest.approx(65, abs=1)


def test_nothing_earned_is_said_plainly(made, page):
    text = page(made.line(made.FINE, replace(made.LAMP, works=Lamp())))
    for organism in ("Giardia", "Cryptosporidium", "virus"):
        assert re.search(rf"{organism} +0\.0 +ask +nothing", text)


def test_chlorine_by_its_contact_tank(made, page):
    text = page(made.line(*made.CHLORINATED))
    assert re.search(r"Giardia +3\.0 +ask +contact tank", text)
    assert re.search(r"Cryptosporidium +0\.0 +ask +nothing", text)
    assert "power cut" not in text


def test_filters_alone_have_no_table_of_logs(made, page):
    text = page(made.line(made.COARSE, made.FINE))
    assert "logs earned" not in text


def test_nothing_where_nothing_is_treated(made, page):
    assert page(made.line(), end_use="outdoor").strip() == ""


def test_the_plain_data_of_a_lamp_keep_its_listing_apart(made, barriers):
    line = made.line(made.FINE, replace(made.LAMP, works=Lamp(listing="class A")))
    (one,) = barriers_answer(barriers.run(line))
    (lamp,) = one["lamps"]
    assert (lamp["listing"], lamp["dose_mj_cm2"]) == ("class A", 0.0)
    assert lamp["why"] == ["no document proves its dose"]
    assert one["shut_valve"] is None
    assert {each["logs"] for each in one["credits"]} == {0.0}


def test_the_plain_data_of_a_contact_tank(made, barriers):
    (one,) = barriers_answer(barriers.run(made.line(*made.CHLORINATED)))
    # 1 mg/L x 0.5 x 896 gal over 8 gal/min
    assert one["contact"]["ct_mg_min_l"] == pytest.approx(56)
    assert one["weakest"] == "cryptosporidium"
    assert one["drinks"] is True


# --- what the roofs allow ---


@pytest.fixture
def roofs(making):
    def _roofs(*surfaces, drains_to="tank", **of_use):
        roofs = tuple(
            replace(making.roof(name=f"roof {at}"), surface=surface, drains_to=drains_to)
            for at, surface in enumerate(surfaces)
        )
        uses = (replace(making.use(end_use="outdoor"), **of_use),)
        site = making.site(roofs=roofs, uses=uses)
        answer = {
            "treatment": fitness_answer(fit_for_use(site)),
            "cautions": cautions_answer(site),
        }
        return on_paper(fitness_section(answer, Sizes("us")))

    return _roofs


LEADED = Surface("lead", "none", False, "none", "none", flue=False, panels=False)
PLAIN = replace(LEADED, flashing="plastic")


def test_one_line_a_roof(roofs):
    text = roofs(LEADED, PLAIN, Surface())
    assert re.search(r"roof 0 +no +not ruled out +no +not ruled out", text)
    assert re.search(r"roof 1 +not ruled out +not ruled out +not ruled out +not ruled out", text)
    assert re.search(r"roof 2 +unknown +not ruled out +unknown +not ruled out", text)
    assert "raw food" not in text
    assert "ask for tests of" in words(text)
    assert "lead" in text
    assert max(map(len, text.splitlines())) <= 88


def test_a_marked_case_has_its_own_column(roofs):
    text = roofs(LEADED, edible=True)
    assert "raw food" in text
    assert "dairy" not in text


def test_nothing_where_no_roof_is_caught(roofs):
    assert roofs(PLAIN, drains_to="").strip() == ""
