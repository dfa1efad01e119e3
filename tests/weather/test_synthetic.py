import numpy as np
import pytest

from eavewell.faults import BadRecord, OutOfRange
from eavewell.weather.synthetic import resampled_rows, stressed, whole_year_rows

DATES = np.arange("1999-05-10", "2021-03-01", dtype="datetime64[D]")


def test_whole_calendar_years_are_2000_to_2020():
    rows = whole_year_rows(DATES)
    assert rows.shape == (21, 365)
    assert DATES[rows[0, [0, -1]]].astype(str).tolist() == ["2000-01-01", "2000-12-31"]
    assert DATES[rows[-1, [0, -1]]].astype(str).tolist() == ["2020-01-01", "2020-12-31"]
    assert "2000-02-29" not in DATES[rows].astype(str)


def test_years_from_march_end_on_the_last_day_of_february():
    rows = whole_year_rows(DATES, first_month=3)
    assert rows.shape == (21, 365)  # March 2000 to February 2021
    assert DATES[rows[-1, [0, -1]]].astype(str).tolist() == ["2020-03-01", "2021-02-28"]


@pytest.mark.parametrize("block", [1, 3, 5])
def test_every_block_is_a_run_of_neighbouring_years(block):
    traces = resampled_rows(DATES, years=20, block_years=block, traces=50, seed=4)
    assert traces.shape == (20 * 365, 50)
    assert traces.dtype == np.int32
    year = DATES[traces].astype("M8[Y]").astype(int) + 1970
    of_trace = year.reshape(20, 365, 50)
    assert (of_trace == of_trace[:, :1]).all()  # a drawn year is one year of the record
    starts = of_trace[:, 0]
    joined = np.diff(starts, axis=0) == 1
    inside = np.arange(1, 20) % block != 0
    assert joined[inside].all()
    assert starts.min() >= 2000
    assert starts.max() <= 2020


def test_all_traces_share_one_calendar_of_month_and_day():
    traces = resampled_rows(DATES, years=7, block_years=3, first_month=9, traces=9, seed=4)
    text = DATES[traces].astype(str)
    month_day = np.array([[day[5:] for day in lane] for lane in text.tolist()])
    assert (month_day == month_day[:, :1]).all()
    assert month_day[0, 0] == "09-01"


def test_whole_years_are_drawn_evenly():
    # 21 years, 4,200 draws: each year is expected 200 times; chi-square of 20 degrees, mean 20,
    # deviation sqrt(40): 45.3 is passed once in a thousand.
    traces = resampled_rows(DATES, years=21, block_years=1, traces=200, seed=11)
    year = DATES[traces[::365]].astype("M8[Y]").astype(int)
    counts = np.bincount((year - year.min()).ravel())
    assert ((counts - 200) ** 2 / 200).sum() < 45.3


def test_the_seed_repeats_the_draw():
    first, again, other = (
        resampled_rows(DATES, years=10, traces=5, seed=seed) for seed in (1, 1, 2)
    )
    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)


def test_too_short_a_record_and_senseless_counts_are_refused():
    with pytest.raises(BadRecord, match="1 whole years, too few to draw blocks of 3"):
        resampled_rows(DATES[:700], years=10, traces=5, seed=1)
    with pytest.raises(BadRecord) as caught:
        resampled_rows(DATES, years=0, block_years=30, traces=0, seed=1)
    assert len(caught.value.faults) == 3
    with pytest.raises(OutOfRange, match="month 13"):
        resampled_rows(DATES, years=5, first_month=13, traces=1, seed=1)
    with pytest.raises(BadRecord, match="gaps"):
        resampled_rows(np.delete(DATES, 40), years=5, traces=1, seed=1)
    with pytest.raises(BadRecord, match="0 whole years"):
        resampled_rows(DATES[:0], years=5, traces=1, seed=1)


def test_stress_by_hand():
    # Ten wet days of 5 mm in June, a wet-day factor of 0.7: three fall dry, seven bring 4.5 mm.
    dates = np.arange("2021-06-01", "2021-07-01", dtype="M8[D]")
    rain = np.where(np.arange(30) % 3 == 0, 5.0, 0.0)
    rain[1] = np.nan
    found = stressed(rain, dates, depth_factor=0.9, wet_day_factor=0.7, seed=3)
    assert np.nansum(found) == pytest.approx(7 * 4.5)
    assert np.isnan(found[1])
    assert rain[0] == 5.0  # the record itself stays as it was


def test_a_wetter_future_is_not_a_stress():
    with pytest.raises(OutOfRange, match=r"wet-day factor 1.2"):
        stressed(np.ones(3), DATES[:3], depth_factor=1.0, wet_day_factor=1.2, seed=1)
