"""What two barrels in a garden need not read."""

from datetime import date
from pathlib import Path

import pytest

from eavewell.answers import answer
from eavewell.answers.shown import Sizes
from eavewell.design import design
from eavewell.files.record import record_of
from eavewell.files.site.reader import read_site
from eavewell.report.blocks import Words
from eavewell.report.doubts import doubts_section
from eavewell.report.rules import rules_section
from eavewell.report.sizes import sizes_section
from eavewell.report.upkeep import upkeep_section

BARRELS = Path(__file__).parents[2] / "examples" / "barrels" / "site.toml"
SIZES = Sizes("us")


@pytest.fixture(scope="module")
def found():
    site = read_site(BARRELS)
    return answer(design(site, record_of(site), today=date(2026, 1, 1)))


def words(section):
    return " ".join(block.words for block in section if isinstance(block, Words))


def test_no_step_of_tank_larger_than_the_tank(found):
    text = words(sizes_section(found, SIZES))
    assert "The next 100 ft2 of roof would supply" in text
    assert "of tank would supply" not in text
    larger = found | {"sizing": found["sizing"] | {"store": "larger"}}
    larger["storage"] = {"stores": [{"name": "larger", "usable_l": 9000.0}]}
    assert "The next 1,000 gal of tank would supply" in words(sizes_section(larger, SIZES))


def test_nobody_moves_in(found):
    assert "moving in" not in words(doubts_section(found, SIZES))
    indoor = found | {"demand": [use | {"class": "indoor"} for use in found["demand"]]}
    assert "for moving in" in words(doubts_section(indoor, SIZES))


def test_no_papers_without_a_permit(found):
    assert found["rules"]["papers"] == []
    text = words(rules_section(found, SIZES))
    assert "papers" not in text


def test_a_line_of_a_cupful_has_no_flush(found):
    assert "of line" not in words(upkeep_section(found, SIZES))
