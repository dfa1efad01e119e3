"""Invented records with planted faults; what must be found is counted by hand."""

from datetime import date

import numpy as np
import pytest

from eavewell.faults import BadRecord
from eavewell.site.rain_record import Mark, RainRecord
from eavewell.weather.figures import rain_figures
from eavewell.weather.quality import inspect

YEAR = date(2001, 1, 1)


def record(rain_mm, first_day=YEAR, **more):
    rain_mm = np.asarray(rain_mm, dtype=float)
    marks = np.where(np.isnan(rain_mm), Mark.MISSING, 0).astype(np.uint16)
    return RainRecord("invented", first_day, rain_mm, marks, **more)


def test_a_gap_and_a_suspicious_day():
    rain_mm = np.full(730, 2.0)
    rain_mm[100:110] = np.nan
    rain_mm[500] = 700.0
    found = inspect(record(rain_mm))
    assert found.longest_gap_days == 10
    assert (found.gap_from, found.gap_to) == (date(2001, 4, 11), date(2001, 4, 20))
    assert found.missing_by_year == {2001: pytest.approx(10 / 365), 2002: 0.0}
    assert found.suspicious_days == (date(2002, 5, 16),)
    assert any("10 days, 2001-04-11" in says for says in found.sentences)


@pytest.mark.parametrize(
    ("rain_mm", "says"),
    [
        ([1.0, 2.0, 3.0], "3 days"),
        (np.zeros(800), "No rain fell"),
        (np.full(800, np.nan), "No day"),
        (np.r_[1.0, np.full(800, np.nan), 1.0], "Only 2 days"),
    ],
)
def test_records_that_cannot_be_designed_on(rain_mm, says):
    with pytest.raises(BadRecord, match=says):
        inspect(record(rain_mm))


def test_unit_slips_both_ways():
    inches = np.tile([0.0, 0.0, 0.3], 300)
    assert 'unit = "in"' in inspect(record(inches)).unit_slip
    twice = np.tile([0.0, 0.0, 5.0 * 25.4], 300)
    assert 'unit = "mm"' in inspect(record(twice)).unit_slip
    assert inspect(record(np.tile([0.0, 0.0, 7.0], 300))).unit_slip == ""


def test_zero_and_far_off_years():
    rain_mm = np.concatenate([np.full(365, depth) for depth in (2, 2, 2)] + [np.zeros(366)])
    found = inspect(record(np.r_[rain_mm, np.full(365, 2.0)]))
    assert found.zero_years == (2004,)
    assert found.far_off_years == (2004,)


def test_figures_by_hand():
    rain_mm = np.full(1461, 3.0)
    rain_mm[40:100] = 0.0
    rain_mm[-40:] = 0.0
    figures = rain_figures(record(rain_mm), today=date(2006, 6, 1))
    assert figures.full_years == (2001, 2002, 2003, 2004)
    assert figures.mean_year_mm == pytest.approx(3.0 * (1461 - 100) / 4)
    assert figures.longest_dry.days == 60
    assert figures.longest_dry.first == date(2001, 2, 10)
    assert figures.driest[1].rain_mm == 0.0
    assert figures.driest[3].rain_mm == pytest.approx(31 * 3.0)
    assert figures.wettest[12].rain_mm == pytest.approx(365 * 3.0)
    march = figures.months[2]
    assert march.mean_mm == pytest.approx((0 + 3 * 93) / 4)
    assert march.wet_day_share == pytest.approx(0.75)
    assert figures.ends_in_dry_spell and not figures.starts_in_dry_spell
    assert figures.ends_long_ago and figures.is_short
    assert len(figures.sentences) == 3


def test_a_spell_says_how_much_of_it_was_not_measured():
    made = record(np.r_[np.full(200, 3.0), np.zeros(30), np.full(400, 3.0)])
    made.marks[190:205] = Mark.FILLED_SEASON
    found = rain_figures(made, today=date(2003, 1, 1))
    # Rows 190 to 204 were filled: 5 of the 30 dry days, 15 of the 91 days that hold them all.
    # No 365 of the 630 days miss them: every such window holds 15, less than a tenth.
    assert found.driest[12].unmeasured_days == 15
    # 5 of 30 are more than a tenth, so only the 25 measured days of the run count.
    assert (found.longest_dry.days, found.longest_dry.unmeasured_days) == (25, 0)


def test_a_filled_hole_gives_no_worst_spell_while_there_is_a_measured_one():
    rain_mm = np.full(1800, 3.0)
    rain_mm[400:1200] = 0.0
    rain_mm[600:800] = 90.0
    rain_mm[1500:1540] = 0.0
    rain_mm[1600:1604] = 30.0
    made = record(rain_mm)
    made.marks[400:1200] = Mark.FILLED_SEASON
    found = rain_figures(made, today=date(2007, 1, 1))
    # Rows 400 to 1199 were filled; 400 measured days lie before them and 600 after.
    hole = (date(2002, 2, 5), date(2004, 4, 14))
    for months, days in ((1, 30), (3, 91), (6, 182), (12, 365)):
        for spell in (found.driest[months], found.wettest[months]):
            assert spell.unmeasured_days <= days / 10
            assert not hole[0] <= spell.first + (spell.last - spell.first) / 2 <= hole[1]
    assert found.driest[1].rain_mm == 0.0
    assert (found.longest_dry.days, found.longest_dry.unmeasured_days) == (40, 0)
    # No 730 days hold fewer than 130 filled ones, so the driest of all is given.
    assert found.driest[24].unmeasured_days >= 130


def test_a_dry_run_is_told_when_nothing_else_was_measured():
    made = record(np.r_[np.full(200, 3.0), np.zeros(30), np.full(400, 3.0)])
    made.marks[190:240] = Mark.FILLED_SEASON
    longest = rain_figures(made, today=date(2003, 1, 1)).longest_dry
    assert (longest.days, longest.unmeasured_days) == (30, 30)


def test_one_is_told_as_one_and_nothing_twice():
    rain_mm = np.full(730, 2.0)
    rain_mm[100], rain_mm[500] = np.nan, 700.0
    made = record(rain_mm)
    made.marks[[3, 4, 5, 6]] = Mark.ACCUMULATED, Mark.FILLED_SEASON, Mark.EXTENDED, Mark.FLAGGED
    said = inspect(made).sentences
    assert "1 days" not in " ".join(said)
    assert sum("1 day" in one for one in said) == 5
    assert len(set(said)) == len(said)
