"""Use between readings of a meter: resets, wraps, exchanges, slips of the pen; litres by hand."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from eavewell.logbook.kept import Taken
from eavewell.logbook.readings.meters import Way, metered
from eavewell.site.gauge import Gauge

HOUSE = Gauge("house", "meter", how="register", unit="L")
START = np.datetime64("2026-05-01T07:00", "ms")


def daily(*litres, hours=24):
    at = START + np.arange(len(litres)) * np.timedelta64(hours, "h")
    return Taken(at, np.array(litres, dtype=float), np.arange(len(litres)))


def found(*litres, gauge=HOUSE, **more):
    return metered(daily(*litres), gauge, **more)


def test_use_is_the_rise_between_readings():
    plain = found(1000, 1300, 1300, 1650)
    assert plain.litres.tolist() == [300, 0, 350]
    assert plain.began_utc[1] == START + np.timedelta64(1, "D")
    assert plain.ended_utc[1] == START + np.timedelta64(2, "D")


@pytest.mark.parametrize("count", [0, 1])
def test_one_reading_or_none_says_nothing(count):
    assert metered(daily(*[5.0] * count), HOUSE).litres.size == 0


def test_a_counter_that_began_anew_counts_from_nothing():
    anew = found(81_000, 81_300, 120, 420)
    assert anew.litres.tolist() == [300, 120, 300]
    assert anew.ways.tolist() == [Way.PLAIN, Way.RESET, Way.PLAIN]
    assert anew.questions == ()


def test_near_nothing_a_reset_and_a_slip_look_alike_so_it_is_asked():
    # 90 to 30: begun anew, or 130 was meant?
    anew = found(40_000, 40_200, 90, 30, 330)
    assert anew.litres[[0, 1, 3]].tolist() == [200, 90, 300]
    assert math.isnan(anew.litres[2])
    assert len(anew.questions) == 1


def test_a_figure_with_a_lost_digit_is_left_out_and_asked():
    # 48,290 was meant as 48,375; 4,837 was written
    left_out = found(48_200, 48_290, 4_837, 48_460)
    assert left_out.litres.tolist() == [90, 170]
    (question,) = left_out.questions
    assert question.value == 4837
    assert "4,837 L at 2026-05-03 07:00 UTC is left out" in question.says


def test_a_figure_with_a_digit_too_many_is_left_out_and_asked():
    left_out = found(48_200, 482_900, 48_380, 48_460)
    assert left_out.litres.tolist() == [180, 80]
    assert left_out.questions[0].value == 482_900


def test_two_that_changed_places_are_asked_and_nothing_is_lost():
    swapped = found(48_200, 48_400, 48_300, 48_500)
    assert swapped.litres.tolist() == [300]
    assert swapped.ways.tolist() == [Way.ASKED]
    assert "changed places" in swapped.questions[0].says


def test_a_fall_that_nothing_explains_is_asked_and_stays_unknown():
    odd = found(48_200, 48_400, 30_000, 30_150)
    assert odd.litres[[0, 2]].tolist() == [200, 150]
    assert math.isnan(odd.litres[1])
    assert odd.ways[1] == Way.ASKED
    assert "what is right?" in odd.questions[0].says


def test_more_than_any_meter_passes_is_asked():
    # 2 L/s for a day is 172,800 L
    assert math.isnan(found(1000, 200_000, 200_300, 200_600).litres[0])
    assert found(1000, 200_000, 200_300, most_l_s=5.0).litres[0] == 199_000


def test_another_meter_is_no_use():
    at = START + np.timedelta64(30, "h")
    other = found(48_200, 48_400, 7_150, 7_350, changed=[at])
    assert other.ways.tolist() == [Way.PLAIN, Way.CHANGED, Way.PLAIN]
    assert math.isnan(other.litres[1])
    assert other.questions == ()
    # nor where the new one stands higher
    assert math.isnan(found(100, 300, 7_150, changed=[at]).litres[1])


def test_questions_speak_in_the_meters_own_unit():
    gauge = Gauge("house", "meter", how="register", unit="gal")
    gal = 3.785411784
    says = found(48_200 * gal, 48_400 * gal, 30_000 * gal, gauge=gauge).questions[0].says
    assert says.startswith("30,000 gal at ")


@given(
    st.lists(st.integers(0, 5000), min_size=1, max_size=200),
    st.integers(0, 99_999),
    st.sampled_from([1, 6, 24]),
)
def test_the_whole_is_last_less_first_and_the_wraps(uses, first, hours):
    """Of a counter of 100,000 L that is read before it goes round again."""
    total = first + np.cumsum([0, *uses])
    gauge = Gauge("house", "meter", how="register", unit="L", wraps_at=99_999)
    readings = daily(*(total % 100_000), hours=hours)
    seen = metered(readings, gauge)
    wraps = int(total[-1] // 100_000)
    assert seen.litres.sum() == readings.value[-1] - readings.value[0] + 100_000 * wraps
    assert seen.litres.tolist() == uses
    assert np.count_nonzero(seen.ways == Way.WRAPPED) == wraps


@given(
    st.lists(st.integers(1, 900), min_size=6, max_size=120),
    st.integers(0, 10**6),
)
def test_one_reset_costs_no_more_than_the_interval_it_fell_in(uses, seed):
    rng = np.random.default_rng(seed)
    total = 20_000.0 + np.cumsum([0, *uses])
    at = int(rng.integers(2, len(uses)))
    # begins anew at any moment between two readings
    total[at:] -= total[at - 1] + rng.uniform(0.0, uses[at - 1])
    seen = found(*total)
    assert np.delete(seen.litres, at - 1) == pytest.approx(np.delete(np.array(uses), at - 1))
    assert 0.0 <= seen.litres[at - 1] <= uses[at - 1] + 1e-9
    assert seen.ways[at - 1] == Way.RESET


def test_what_falls_again_and_again_is_no_counter():
    rng = np.random.default_rng(3)
    noise = found(*(500.0 + rng.normal(size=2000)))
    assert len(noise.questions) == 1
    assert "do not count up" in noise.questions[0].says
    assert np.isnan(noise.litres[noise.ways == Way.ASKED]).all()
