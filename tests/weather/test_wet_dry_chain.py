"""The chain against its own theory; every tolerance is four standard errors, worked here."""

from datetime import date

import numpy as np
import pytest
from scipy import stats

from eavewell.faults import BadRecord, BadTable, OutOfRange
from eavewell.weather.wet_dry_chain import (
    RainMonth,
    WetDryChain,
    chain_from_record,
    chain_from_table,
    drier,
    generate,
    scaled,
)

AFTER_DRY, AFTER_WET, MEAN_MM, SHAPE = 0.2, 0.5, 6.0, 0.8
FIRST, DAYS = date(1700, 1, 1), 120_000


def alike(value):
    return np.full(12, value)


CHAIN = WetDryChain(alike(AFTER_DRY), alike(AFTER_WET), alike(MEAN_MM), alike(SHAPE))
SHARE = AFTER_DRY / (1 - AFTER_WET + AFTER_DRY)  # 2/7
HOLDS = AFTER_WET - AFTER_DRY  # correlation of a day's wetness with the next


@pytest.fixture(scope="module")
def rain_mm():
    return generate(CHAIN, FIRST, days=DAYS, seed=7)


def test_wet_day_share(rain_mm):
    assert pytest.approx(SHARE) == CHAIN.wet_share[0]
    # A chain's days hang together: its mean varies (1 + r) / (1 - r) times as much.
    error = np.sqrt(SHARE * (1 - SHARE) / DAYS * (1 + HOLDS) / (1 - HOLDS))
    assert (rain_mm > 0).mean() == pytest.approx(SHARE, abs=4 * error)


def test_depth_of_wet_days(rain_mm):
    wet = rain_mm[rain_mm > 0]
    error = MEAN_MM / np.sqrt(SHAPE * wet.size)  # a gamma's variance is mean^2 / shape
    assert wet.mean() == pytest.approx(MEAN_MM, abs=4 * error)
    assert stats.kstest(wet, stats.gamma(SHAPE, scale=MEAN_MM / SHAPE).cdf).pvalue > 1e-3


def test_sums_of_thirty_days(rain_mm):
    n = 30
    sums = rain_mm.reshape(-1, n).sum(axis=1)
    # Sum's variance: depth spread of the wet days, and the spread of their number with its
    # covariances share (1 - share) r^k between days k apart.
    k = np.arange(1, n)
    of_number = SHARE * (1 - SHARE) * (n + 2 * ((n - k) * HOLDS**k).sum())
    variance = n * SHARE * MEAN_MM**2 / SHAPE + MEAN_MM**2 * of_number
    # Neighbouring sums hang together a little; doubling the error covers it.
    error = np.sqrt(variance / sums.size)
    assert sums.mean() == pytest.approx(n * SHARE * MEAN_MM, abs=8 * error)
    # Standard error of a variance, with the sums' own kurtosis.
    error = variance * np.sqrt((stats.kurtosis(sums) + 2) / sums.size)
    assert sums.var() == pytest.approx(variance, abs=4 * error)


@pytest.mark.parametrize(("wet_runs", "leaves"), [(False, AFTER_DRY), (True, 1 - AFTER_WET)])
def test_runs_are_geometric(rain_mm, wet_runs, leaves):
    state = (rain_mm > 0) == wet_runs
    edges = np.flatnonzero(np.diff(state.astype(int)))
    lengths = np.diff(edges)[int(state[0]) :: 2]  # whole runs of this state only
    for length in range(1, 9):
        chance = leaves * (1 - leaves) ** (length - 1)
        error = np.sqrt(chance * (1 - chance) / lengths.size)
        assert (lengths == length).mean() == pytest.approx(chance, abs=4 * error)


def test_a_fit_finds_its_chain_again(rain_mm):
    found = chain_from_record(rain_mm, np.datetime64(FIRST) + np.arange(DAYS))
    days = DAYS / 12
    assert found.wet_after_dry == pytest.approx(
        alike(AFTER_DRY), abs=4.5 * np.sqrt(0.16 / (days * (1 - SHARE))) + 0.01
    )
    assert found.wet_after_wet == pytest.approx(
        alike(AFTER_WET), abs=4.5 * np.sqrt(0.25 / (days * SHARE)) + 0.02
    )
    # Days under 0.1 mm count as dry, so wet days are a little fewer and deeper: the chance of
    # less than 0.1 mm is known from the gamma.
    lost = stats.gamma(SHAPE, scale=MEAN_MM / SHAPE).cdf(0.1)
    deeper = MEAN_MM / (1 - lost)
    assert found.mean_wet_day_mm == pytest.approx(
        alike(deeper), abs=4.5 * MEAN_MM / np.sqrt(SHAPE * days * SHARE) + 0.1 * lost
    )
    assert found.shape == pytest.approx(alike(SHAPE), rel=0.25)


def test_a_fit_leaves_missing_days_out():
    dates = np.arange("2001-01-01", "2002-01-01", dtype="M8[D]")
    rain = np.zeros(365)
    rain[[0, 1, 4]] = 10.0
    rain[2] = np.nan
    found = chain_from_record(rain, dates)
    # January, days 1-5: wet wet - dry wet. Known pairs after wet: 1-2 (wet), 5-6 (dry).
    assert found.wet_after_wet[0] == 0.5
    # After dry: day 4-5 (wet), then 6-7 to 30-31, 25 pairs that stay dry.
    assert found.wet_after_dry[0] == pytest.approx(1 / 26)
    assert found.mean_wet_day_mm[:2].tolist() == [10.0, 0.0]


TWELVE = [RainMonth(wet, 8.0 * wet, 8.0) for wet in (2, 3, 5, 8, 10, 12, 6, 4, 7, 9, 3, 0)]


def test_a_table_keeps_its_wet_days_and_depth():
    chain = chain_from_table(TWELVE)
    length = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    assert chain.wet_share * length == pytest.approx([month.wet_days for month in TWELVE])
    # geng1986, from memory: 0.75 of the wet share after a dry day, 0.25 more after a wet one.
    assert chain.wet_after_dry[4] == pytest.approx(0.75 * 10 / 31)
    assert chain.persistence == pytest.approx(alike(0.25))
    rain = generate(chain, date(1900, 1, 1), days=36_500, seed=5)
    year = 8.0 * sum(month.wet_days for month in TWELVE)
    yearly = rain.reshape(100, 365).sum(axis=1)
    assert yearly.mean() == pytest.approx(year, abs=4 * yearly.std() / 10)


def test_a_table_out_of_shape_is_refused():
    with pytest.raises(BadTable, match="12 rows, January first, not 11"):
        chain_from_table(TWELVE[:11])
    with pytest.raises(BadTable) as caught:
        chain_from_table([RainMonth(5, 20.0, 8.0), RainMonth(29, 29.0, 1.0), *TWELVE[2:]])
    assert len(caught.value.faults) == 2
    assert "month 1: 5 wet days of 8 mm do not make 20 mm" in str(caught.value)


def test_a_record_without_rain_is_refused():
    dates = np.arange("2001-01-01", "2002-01-01", dtype="M8[D]")
    with pytest.raises(BadRecord, match="no wet day"):
        chain_from_record(np.zeros(365), dates)


def test_drier_keeps_persistence_and_scales_both_figures():
    found = drier(CHAIN, depth_factor=0.9, wet_day_factor=0.8)
    assert found.wet_share == pytest.approx(0.8 * CHAIN.wet_share)
    assert found.mean_wet_day_mm == pytest.approx(0.9 * CHAIN.mean_wet_day_mm)
    assert found.persistence == pytest.approx(CHAIN.persistence)
    with pytest.raises(OutOfRange, match=r"depth factor 1\.1"):
        drier(CHAIN, depth_factor=1.1, wet_day_factor=1.0)


def test_persistence_bends_where_wet_days_shun_each_other():
    # Wet after dry 0.6, after wet 0.1: share 0.4. Halved to 0.2 with persistence -0.5, a wet day
    # would follow a wet one with chance 0.2 x 1.5 - 0.5 < 0; it bends to -0.25 and chance 0.
    shunning = WetDryChain(alike(0.6), alike(0.1), alike(5.0), alike(1.0))
    found = scaled(shunning, depth_factor=1.0, wet_day_factor=0.5)
    assert found.wet_share == pytest.approx(alike(0.2))
    assert found.wet_after_wet == pytest.approx(alike(0.0))


def test_the_same_seed_gives_the_same_rain(rain_mm):
    assert np.array_equal(rain_mm[:50], generate(CHAIN, FIRST, days=DAYS, seed=7)[:50])
    assert generate(CHAIN, FIRST, days=0, seed=7).size == 0
