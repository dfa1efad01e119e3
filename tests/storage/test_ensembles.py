"""The range from years drawn anew."""

import numpy as np
import pytest

from eavewell.storage.drawn import as_drawn
from eavewell.storage.ensembles import TRACES, block_years, ensemble, fullest_month
from eavewell.storage.series import Series
from eavewell.weather.synthetic import resampled_rows, whole_year_rows


def years_alike(making, years=12):
    """The same 365 days every year, 29 February dry and without want."""
    dates = making.dates(round(365.25 * years))
    day = (dates - dates.astype("datetime64[Y]").astype("datetime64[D]")).astype(int)
    month_day = np.char.partition(dates.astype(str), "-")[:, 2]
    leap = (dates.astype("datetime64[Y]").astype(int) + 1970) % 4 == 0
    day -= leap & (day > 59)
    one = making.wet_and_dry(1)[:365]
    keep = month_day != "02-29"
    rain = np.where(keep, one[day], 0.0)
    wants = np.where(keep, 8.0, 0.0)
    return Series(dates, rain[:, None], wants[:, None], np.zeros(dates.size))


def test_years_all_alike_have_no_range(making):
    # Every draw of the years is the record itself; only the start differs, so it is stated.
    site = making.site(tanks=(making.tank(150.0, start_share=0.0),))
    water = years_alike(making)
    found = ensemble(site, water, first_month=1)
    record = as_drawn(site, water).reliability
    share = record.supplied_share
    assert 0.5 < share < 0.999
    for one in (found.supplied_share, found.uses_supplied["house"]):
        assert (one.low, one.middle, one.high) == pytest.approx((share, share, share), rel=1e-12)
    # The record's three leap days are days on which nothing is wanted.
    short_share = record.uses[0].short_days / (12 * 365)
    met = found.days_met_share
    assert (met.low, met.high) == pytest.approx((1 - short_share, 1 - short_share), rel=1e-12)
    longest = record.longest.short_days
    spells = found.longest_short_days["house"]
    assert (spells.low, spells.middle, spells.high) == (longest, longest, longest)


def test_a_range_holds_the_middle_nine_tenths(making):
    site, water = making.site(), making.series(making.wet_and_dry(25), [8.0])
    found = ensemble(site, water, first_month=4, block=1, seed=3)
    assert found.supplied_share.low < found.supplied_share.middle < found.supplied_share.high
    assert (found.traces, found.years, found.block_years, found.first_month) == (200, 24, 1, 4)


def test_the_same_seed_gives_the_same_range(making):
    site, water = making.site(), making.series(making.wet_and_dry(15), [8.0])
    first, again, other = (ensemble(site, water, first_month=1, seed=s) for s in (1, 1, 2))
    assert first == again
    assert first.supplied_share != other.supplied_share


def test_blocks_start_in_the_month_given(making):
    dates = making.dates(round(365.25 * 12))
    assert set(dates[whole_year_rows(dates, 9)[:, 0]].astype("datetime64[M]").astype(int) % 12) == {
        8
    }
    rows = resampled_rows(dates, years=11, block_years=3, first_month=9, traces=5, seed=1)
    starts = dates[rows[:: 3 * 365]]
    assert {str(day)[5:] for day in starts.ravel()} == {"09-01"}
    # Inside a block the years follow one another.
    inside = (rows[365 : 2 * 365] - rows[:365]).ravel()
    assert set(inside.tolist()) <= {365, 366}


@pytest.mark.parametrize(("years", "is_known"), [(9.9, False), (10.1, True)])
def test_a_record_under_ten_whole_years_has_no_range(making, years, is_known):
    water = making.series(making.wet_and_dry(years), [8.0])
    assert (ensemble(making.site(), water, first_month=1) is not None) is is_known


def test_a_block_as_long_as_the_record_leaves_nothing_to_draw(making):
    water = making.series(making.wet_and_dry(12.1), [8.0])
    assert ensemble(making.site(), water, first_month=1, block=12) is None
    assert ensemble(making.site(), water, first_month=1, block=11) is not None


@pytest.mark.parametrize(("each_l", "chance"), [(0.5, 0.0), (300.0, 1.0)])
def test_chance_of_a_short_day_where_it_is_sure_or_ruled_out(making, each_l, chance):
    # 10 m2 under an invented climate of some hundred mm a season: half a litre never runs out of
    # 200 L (400 days), 300 L a day always does.
    site = making.site(uses=(making.use(each_l),))
    water = making.series(making.wet_and_dry(15), [each_l])
    assert ensemble(site, water, first_month=1).short_in_10_years == {"house": chance}


def test_fullest_month(making):
    water = making.series(np.zeros(800), [8.0])
    months = water.dates.astype("datetime64[M]").astype(int) % 12 + 1
    level = np.column_stack([np.where(months == 5, 9.0, 1.0), np.where(months == 3, 2.0, 1.0)])
    assert fullest_month(level, water) == 5


@pytest.mark.parametrize(("gallons", "years"), [(16_500, 3), (37_000, 3), (38_000, 4), (62_500, 6)])
def test_blocks_last_as_long_as_full_stores(making, gallons, years):
    # 16,500 gal at 34 gal a day are 485 days (COMPUTED); three years at least. 37,000 gal are
    # 1,088 days, 2.98 years; 38,000 gal 1,118 days, 3.06 years; 62,500 gal 1,838 days, 5.03 years.
    assert pytest.approx(485, abs=0.5) == 16_500 / 34
    water = making.series(np.zeros(10), [34 * 3.785411784])
    assert block_years(water, gallons * 3.785411784) == years


def test_the_block_follows_the_size_that_is_run(making):
    from eavewell.storage.arrangement import lanes_as_drawn, with_store

    site, water = making.site(), making.series(making.wet_and_dry(25), [8.0])
    four_years = np.array([8.0 * 365.25 * 3.5])
    lanes = with_store(lanes_as_drawn(site), 0, usable_l=four_years)
    assert ensemble(site, water, first_month=1).block_years == 3
    assert ensemble(site, water, first_month=1, lanes=lanes).block_years == 4
    assert TRACES == 200
