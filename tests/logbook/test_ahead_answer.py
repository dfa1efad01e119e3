"""The look ahead as plain data keeps to its layout; every site and climate here is invented."""

import json
from datetime import date

import jsonschema
import numpy as np
import pytest

from eavewell.answers.schema import schema
from eavewell.design import design
from eavewell.logbook.ahead.answer import ahead_answer
from eavewell.logbook.ahead.basis import Arrival, Asked, Standing, basis_of
from eavewell.logbook.ahead.look import look_ahead
from eavewell.site.hauling import Hauling
from eavewell.site.reserve import RationStage, Reserve

DAY = date(2027, 3, 5)


@pytest.fixture(scope="module")
def found(making):
    stage = RationStage(Reserve(share=0.4), 0.5)
    site = making.site(
        roofs=(making.roof(40.0),),
        tanks=(making.tank(4_000.0),),
        uses=(making.use(60.0, stages=(stage,), fallback="hauled"),),
        hauling=(Hauling("tank", 2_000.0, 3),),
    )
    record = making.record(making.wet_and_dry(12))
    made = design(site, record, today=date(2026, 1, 1))
    asked = Asked(
        rain_mm={date(2027, 3, 8): 20.0},
        loads=(Arrival(date(2027, 3, 9), "tank", 1_000.0),),
        reach=date(2027, 6, 1),
    )
    standing = Standing(DAY, date(2027, 3, 1), np.array([3_000.0]), np.array([40.0]), {"": 70.0})
    basis = basis_of(made)
    ahead = look_ahead(basis, standing, asked=asked)
    return ahead_answer(ahead, basis.site, record=record, asked=asked)


def test_by_the_schema(found):
    jsonschema.Draft202012Validator.check_schema(schema("ahead"))
    jsonschema.validate(
        json.loads(json.dumps(found, allow_nan=False)),
        schema("ahead"),
        format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER,
    )


def test_an_old_reading_is_said_to_be_old(found):
    assert found["days_since_reading"] == 4
    assert found["reading_is_old"]
    assert found["days_of_unknown_rain"] == 4
    (supply,) = found["supplies"]
    assert supply["held_low_l"] < supply["held_l"] < supply["held_high_l"]


def test_every_way_has_every_evening(found):
    assert [way["name"] for way in found["ways"]] == ["as stated", "no loads", "no rations"]
    for way in found["ways"]:
        assert len(way["dry_by_chance"]) == 365
        assert [len(one["evening_l"]) for one in way["tenths"]] == [365] * 9
