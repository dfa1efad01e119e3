import numpy as np
import pytest
from scipy import integrate, stats

from eavewell.faults import OutOfRange
from eavewell.weather.extremes import (
    ExtremeValues,
    LMoments,
    fit_gev_hosking,
    fit_gumbel,
    l_moments_hosking,
    rare_rain,
    yearly_greatest,
)


def test_l_moments_of_five_values_by_hand():
    # x = 1, 2, 4, 7, 11. b0 = 25/5 = 5. b1 = (0x1 + 1x2 + 2x4 + 3x7 + 4x11) / 4 / 5 = 75/20.
    # b2 = (2x1x4 + 3x2x7 + 4x3x11) / (4x3) / 5 = 182/60. b3 = (6x7 + 24x11) / 24 / 5 = 306/120.
    # l2 = 7.5 - 5 = 2.5; l3 = 18.2 - 22.5 + 5 = 0.7; l4 = 51 - 91 + 45 - 5 = 0.
    found = l_moments_hosking(np.array([7.0, 1.0, 11.0, 4.0, 2.0]))
    assert found.mean_mm == pytest.approx(5.0)
    assert found.scale_mm == pytest.approx(2.5)
    assert found.skewness == pytest.approx(0.28)
    assert found.kurtosis == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_l_moments_agree_with_scipy(seed):
    sample = np.random.default_rng(seed).gamma(2.0, 30.0, 12 + 9 * seed)
    ours = l_moments_hosking(sample)
    theirs = stats.lmoment(sample, order=[1, 2, 3, 4])
    found = [ours.mean_mm, ours.scale_mm, ours.skewness, ours.kurtosis]
    assert found == pytest.approx(list(theirs))


def moments_of(distribution):
    """L-moments of a distribution by integrating its quantiles against shifted Legendre's."""
    legendre = (
        lambda u: 1.0,
        lambda u: 2 * u - 1,
        lambda u: 6 * u**2 - 6 * u + 1,
        lambda u: 20 * u**3 - 30 * u**2 + 12 * u - 1,
    )
    one, two, three, four = (
        integrate.quad(lambda u, p=p: distribution.ppf(u) * p(u), 0.0, 1.0, limit=400)[0]
        for p in legendre
    )
    return LMoments(one, two, three / two, four / two)


@pytest.mark.parametrize("shape", [-0.3, -0.15, -0.05, 0.1, 0.3])
def test_a_fit_finds_its_distribution_again(shape):
    # The closed fit of the shape is good to 0.0009 (hosking1985, from memory).
    known = stats.genextreme(shape, loc=60.0, scale=18.0)
    found = fit_gev_hosking(moments_of(known))
    assert found.shape == pytest.approx(shape, abs=1e-3)
    for years in (2.0, 10.0, 100.0):
        assert found.depth_mm(years) == pytest.approx(known.isf(1.0 / years), rel=3e-3)


def test_gumbel_fit_and_depth_by_hand():
    # L-scale 10 ln 2 gives scale 10; mean 50 + 5.772157 gives location 50.
    found = fit_gumbel(LMoments(55.772157, 10.0 * np.log(2.0), 0.17, 0.15))
    assert found.location_mm == pytest.approx(50.0, abs=1e-5)
    assert found.scale_mm == pytest.approx(10.0)
    # Once in 100 years: -ln(-ln 0.99) = 4.600149; 50 + 46.00149.
    assert found.depth_mm(100.0) == pytest.approx(96.00149, abs=1e-4)


def test_gumbel_s_skewness_gives_nearly_gumbel():
    # L-skewness of Gumbel: 2 ln 3 / ln 2 - 3 = 0.169925, at which the fit's c is nil.
    skewness = 2.0 * np.log(3.0) / np.log(2.0) - 3.0
    assert fit_gev_hosking(LMoments(60.0, 10.0, skewness, 0.15)).shape == 0.0


@pytest.mark.parametrize("shape", [-0.4, 0.0, 0.2])
def test_depths_agree_with_scipy(shape):
    years = np.array([1.01, 2.0, 5.0, 25.0, 1000.0])
    theirs = stats.genextreme(shape, loc=70.0, scale=20.0).isf(1.0 / years)
    assert ExtremeValues(70.0, 20.0, shape).depth_mm(years) == pytest.approx(theirs)


def test_the_greatest_day_of_each_full_year():
    dates = np.arange("2018-07-01", "2022-01-01", dtype="M8[D]")
    rain = np.zeros(dates.size)
    for day, depth in (("2018-08-01", 200.0), ("2019-03-03", 80.0), ("2020-02-29", 90.0)):
        rain[dates == np.datetime64(day)] = depth
    rain[(dates >= np.datetime64("2021-03-01")) & (dates < np.datetime64("2021-04-01"))] = np.nan
    rain[dates == np.datetime64("2019-05-05")] = np.nan
    found = yearly_greatest(rain, dates)  # half of 2018 and a month of 2021 are missing
    assert found.years.tolist() == [2019, 2020]
    assert found.rain_mm.tolist() == [80.0, 90.0]
    assert yearly_greatest(rain[:0], dates[:0]).years.size == 0


def test_too_little_to_fit_is_refused():
    dates = np.arange("2018-01-01", "2022-01-01", dtype="M8[D]")
    with pytest.raises(OutOfRange, match="4 full years, under the 15"):
        rare_rain(np.ones(dates.size), dates)
    for sample in ([1.0, 2.0, 3.0], [5.0] * 9, [1.0, 2.0, np.nan, 4.0]):
        with pytest.raises(OutOfRange, match="four or more"):
            l_moments_hosking(np.array(sample))
    with pytest.raises(OutOfRange, match=r"L-skewness 0\.7"):
        fit_gev_hosking(LMoments(50.0, 10.0, 0.7, 0.5))
    with pytest.raises(OutOfRange, match="return period 1 years"):
        ExtremeValues(50.0, 10.0, 0.0).depth_mm(1.0)


def test_a_record_s_rare_rain():
    # Each year one day drawn from a known distribution; the 10-year depth comes back.
    known = stats.genextreme(-0.1, loc=70.0, scale=20.0)
    dates = np.arange("1800-01-01", "2000-01-01", dtype="M8[D]")
    rain = np.zeros(dates.size)
    is_june = dates.astype("M8[M]").astype(int) % 12 == 5
    first_of_june = is_june & (dates == dates.astype("M8[M]").astype("M8[D]"))
    rain[first_of_june] = known.rvs(200, random_state=2)
    # Error of a quantile near the middle: sqrt(F (1 - F) / n) / density.
    error = np.sqrt(0.9 * 0.1 / 200) / known.pdf(known.isf(0.1))
    assert rare_rain(rain, dates).depth_mm(10.0) == pytest.approx(known.isf(0.1), abs=4 * error)
