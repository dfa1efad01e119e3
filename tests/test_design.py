"""The chain: which stage follows which, the same answer twice, what is said of the rain."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from eavewell.answers import answer
from eavewell.design import call, design
from eavewell.faults import BadRecord
from eavewell.site.beside import Beside
from eavewell.site.first_flush import FirstFlush
from eavewell.site.rain import DroughtRow, Rain
from eavewell.site.rain_record import Mark

TODAY = date(2026, 1, 1)


@pytest.fixture(scope="module")
def record(making):
    return making.record(
        making.wet_and_dry(12), latitude=30.0, longitude=-98.2, elevation_m=300.0, station="S1"
    )


def designed(making, record, *, rain=None, stage=call, neighbour=None, **fields):
    site = making.site(rain=rain or Rain(record="made up"), **fields)
    beside = Beside(neighbour=neighbour)
    return design(site, record, beside=beside, today=TODAY, stage=stage)


def test_every_stage_is_called_through_stage_in_the_order_of_flow(making, record):
    seen = []

    def noting(function, *inputs, **named):
        seen.append(function.__name__)
        return call(function, *inputs, **named)

    found = designed(making, record, stage=noting)
    assert seen == [
        "ready_rain",
        "ready_days",
        "site_storms",
        "drain_roofs",
        "first_flushes",
        "convey",
        "lift_duty",
        "rain_within_days",
        "demand_l",
        "series",
        "sump_water",
        "lift_water",
        "as_drawn",
        "size_system",
        "connect",
        "serve",
        "carry",
        "doubts",
        "first_fill",
        "too_coarse",
        "before_and_after",
        "fit_for_use",
        "barriers_in_order",
        "test_water",
        "shock_after_work",
        "season_steps",
        "judge",
        "reckon_on_record",
        "assumptions",
        "left_out",
        "first_flush_rules",
    ]
    assert found.drawn.reliability.days == record.days


def test_the_same_site_and_record_give_the_same_answer(making, record):
    first, again = (answer(designed(making, record)) for _ in range(2))
    assert first == again


def test_the_design_does_not_touch_the_record(making, record):
    before = record.rain_mm.copy()
    designed(making, record, rain=Rain(record="x", site_factor=(1.5,) * 12))
    assert (record.rain_mm == before).all()


def test_rain_of_an_unknown_factor_is_said_and_sized_with_less(making, record):
    found = designed(making, record)
    (said,) = [note for note in found.rain.record.notes if "Rain as at" in note]
    # 0.2 degrees of longitude at 30 N are 19 km or 12 miles; the site lies 100 m or 328 ft higher.
    assert said.startswith("Rain as at S1, 12 mi away, 328 ft lower")
    plain = answer(found)
    assert plain["sizing"]["less_rain_factor"] == 0.8
    assert said in plain["rain"]["notes"]


@pytest.mark.parametrize(
    "rain",
    [Rain(record="x", site_factor=(1.2,) * 12), Rain(record="x", at_site=True)],
    ids=["factor known", "made at the site"],
)
def test_rain_of_a_known_factor_is_not_sized_with_less(making, record, rain):
    found = designed(making, record, rain=rain)
    assert not [note for note in found.rain.record.notes if "Rain as at" in note]
    assert found.doubts.drier_rain is None
    factor = 1.0 if rain.at_site else 1.2
    assert found.rain.record.rain_mm == pytest.approx(record.rain_mm * factor)


def test_an_invented_climate_has_no_station(making, record):
    found = designed(making, replace(record, invented=True), rain=Rain(climate="dry-uplands"))
    assert not [note for note in found.rain.record.notes if "Rain as at" in note]
    assert found.doubts.drier_rain is None


def test_a_record_made_at_the_site_is_never_scaled(making, record):
    at_site = replace(record, at_site=True)
    found = designed(making, at_site, rain=Rain(record="x", site_factor=(2.0,) * 12))
    assert found.rain.record.rain_mm == pytest.approx(record.rain_mm)


def test_gaps_are_filled_marked_and_said(making, record):
    rain = record.rain_mm.copy()
    rain[100:140] = np.nan
    found = designed(making, making.record(rain))
    ready = found.rain
    assert not np.isnan(ready.record.rain_mm).any()
    assert (ready.record.marks[100:140] & Mark.FILLED_SEASON).all()
    assert ready.quality.missing_share == pytest.approx(40 / rain.size)
    measured = np.r_[0:100, 140 : rain.size]
    assert (ready.record.rain_mm[measured] == rain[measured]).all(), "never scaled by coverage"
    plain = answer(found)["rain"]
    assert plain["filled_days"] == 40
    assert any("40" in note for note in plain["notes"])


def test_a_longer_neighbour_extends_the_record(making):
    long = making.wet_and_dry(14)
    short = making.record(long[730:] * 2.0, first=date(2003, 1, 1))
    neighbour = making.record(long)
    found = designed(making, short, neighbour=neighbour)
    assert found.rain.record.first_day == date(2001, 1, 1)
    assert (found.rain.record.marks[:730] & Mark.EXTENDED).all()
    # Twice as much fell at the record's own gauge, in every month.
    assert found.rain.record.rain_mm[:730] == pytest.approx(long[:730] * 2.0)


def test_the_named_drought_is_run(making, record):
    rain = Rain(record="x", drought=tuple(DroughtRow(month, 0.0) for month in range(1, 13)))
    found = designed(making, record, rain=rain)
    # A year without rain: 200 L at most of 8 L a day.
    assert found.doubts.drought.supplied_share <= 200.0 / (8.0 * 365)
    assert answer(found)["doubts"]["drought"]["months"] == 12


def test_what_was_taken_for_granted(making, record):
    roof = replace(making.roof(), first_flush=FirstFlush(volume_l=5.0, reset_dry_days=4))
    found = designed(making, record, roofs=(roof,))
    assert any("after 4 days without water" in said for said in found.assumed)
    assert any("backwash" in said and "leaks" in said for said in found.assumed)
    garden = (making.use(end_use="outdoor"),)
    assert not any("backwash" in said for said in designed(making, record, uses=garden).assumed)


def test_a_record_of_three_days_is_refused(making):
    with pytest.raises(BadRecord):
        designed(making, making.record(np.array([1.0, 0.0, 3.0])))
