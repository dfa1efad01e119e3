"""Joined tanks in a drought, and the short answer of the look ahead; figures are invented."""

import pytest

from eavewell.answers.shown import Sizes
from eavewell.logbook.ahead.answer import by_weeks
from eavewell.report.blocks import Words
from eavewell.report.stick import stick

TANK = {
    "name": "main",
    "count": 4,
    "was_read": True,
    "full_l": 4000.0,
    "full_m": 2.0,
    "total_l": 900.0,
    "level_m": 0.45,
    "dead_l": 0.0,
    "dead_m": 0.0,
    "marks": [],
}


def said(shut_apart, what):
    answer = {"day": "2027-03-05", "alerts": [{"what": what}], "stages": [], "orders": []}
    tank = TANK | {"shut_apart": shut_apart}
    blocks = stick(tank, answer, sizes=Sizes("us"))
    return " ".join(str(one) for one in blocks if isinstance(one, Words))


def test_in_a_drought_joined_tanks_are_shut_apart_where_they_can_be():
    assert "shut them apart now and draw from one at a time" in said(True, "ration")
    assert "that have no valves: a leak in one takes the water of all" in said(False, "dry soon")
    assert "that may have no valves" in said(None, "order")


def test_an_old_reading_is_no_drought():
    assert "joined" not in said(True, "old reading")


@pytest.mark.parametrize("evenings", [1, 7, 8, 365])
def test_a_week_lies_between_the_evenings_of_the_short_answer(evenings):
    days = list(range(evenings))
    tenths = [{"share": 0.1, "evening_l": days}]
    way = {"dry_by_chance": days, "tenths": tenths, "tanks": [{"name": "main", "tenths": tenths}]}
    found = by_weeks({"ways": [way], "evenings_apart": 1})
    assert found["evenings_apart"] == 7
    (short,) = found["ways"]
    for told in (
        short["dry_by_chance"],
        short["tenths"][0]["evening_l"],
        short["tanks"][0]["tenths"][0]["evening_l"],
    ):
        assert told == [day for day in days if day % 7 == 0]
