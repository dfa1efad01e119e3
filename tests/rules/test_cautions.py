"""Cautions stand beside the results they belong to, with the role that decides."""

import pytest

from eavewell.files.site.new_site import starter_text
from eavewell.files.site.reader import site_of_text
from eavewell.rules.cautions import NEEDS, cautions
from eavewell.tables import rows

ROWS = rows("cautions")


def codes(site):
    return {one.code for one in cautions(site)}


def test_every_row_needs_something_that_is_known():
    assert {row["needs"] for row in ROWS} == set(NEEDS)
    assert len({row["code"] for row in ROWS}) == len(ROWS)


# the cautions that the trade shows, told by a word of each
@pytest.mark.parametrize(
    "word",
    [
        "Never enter a tank",
        "rescuers die too",
        "Lids that lock",
        "1,000 L weigh a tonne",
        "ground-fault",
        "ladder",
        "Not drinking water unless designed, treated, tested, labelled and permitted",
        "Lead, paint, treated wood and bitumen",
        "without power",
        "measured volume",
        "never stabilised",
        "Legionella",
        "fire, ash, flood or pesticide",
        "fire reserve is not garden water",
        "Call before you dig",
        "buildings, slopes, septic fields and neighbours",
        "mosquitoes",
        "must not run short in heat",
    ],
)
def test_each_usual_caution_is_there(word):
    assert any(word in row["says"] for row in ROWS)


@pytest.mark.parametrize(
    ("role", "code"),
    [
        ("a licensed electrician", "pump-power"),
        ("a licensed plumber", "indoor-plumbing"),
        ("a licensed engineer", "weight"),
        ("the health department", "drinking"),
        ("a certified laboratory", "test-expires"),
        ("the fire authority", "fire-reserve"),
        ("the water agency", "water-rights"),
        ("the programme office", "rebates"),
    ],
)
def test_each_defers_to_its_role(role, code):
    (row,) = (row for row in ROWS if row["code"] == code)
    assert role in row["decides"].split("|")


def test_a_garden_of_barrels_has_its_own_and_no_more():
    barrels = codes(site_of_text(starter_text("barrels")))
    assert {"never-enter", "lids", "garden-water", "weight"} <= barrels
    assert barrels.isdisjoint({"lamp-power", "pump-power", "drinking", "never-enter-pit"})


def test_a_whole_house_has_the_lamp_and_the_health_department():
    house = codes(site_of_text(starter_text("whole-house")))
    assert {"lamp-power", "pump-power", "drinking", "test-expires", "proven-logs"} <= house
