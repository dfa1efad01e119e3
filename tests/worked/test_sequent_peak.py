"""Thomas & Fiering 1963, the sequent peak, from memory; the needs below by hand (DERIVED)."""

import numpy as np
import pytest

from eavewell.faults import OutOfRange
from eavewell.storage.sequent_peak import sequent_peak

YEAR = np.array([60, 40, 20, 5, 0, 0, 10, 30, 70, 80, 75, 65], dtype=float)


def flat(amount, steps):
    return np.full(steps, float(amount))


def test_five_steps():
    # K = max(0, K + 10 - Q): 0-2, 0+2, 2+4, 6-5, 1+0; the second cycle begins at 1+10-12 < 0.
    found = sequent_peak(np.array([12.0, 8.0, 6.0, 15.0, 10.0]), flat(10, 5))
    assert found.need_l == pytest.approx([0, 2, 6, 1, 1] * 2)
    assert found.volume_l == pytest.approx(6.0)
    assert found.carries_over


def test_a_year_that_must_carry_over():
    # Months 3 to 8 lack 16 + 31 + 36 + 36 + 26 + 6 = 151 in every cycle.
    found = sequent_peak(YEAR, flat(36, 12))
    assert found.volume_l == pytest.approx(151.0)
    peaks = np.flatnonzero(np.isclose(found.need_l, 151.0)) + 1
    assert peaks.tolist() == [8, 20]


def test_need_that_only_the_second_cycle_shows():
    # Wet first, dry last: 5 is lacking at the end and 1 more before the next wet step ends it.
    found = sequent_peak(np.array([5.0, 15.0, 5.0]), flat(8, 3))
    # Cycle 1: 3, 0, 3; cycle 2: 6, 0, 3.
    assert found.need_l == pytest.approx([3, 0, 3, 6, 0, 3])
    assert found.volume_l == pytest.approx(6.0)


@pytest.mark.parametrize("wanted", [0.0, 3.0, 5.0])
def test_no_store_is_needed_where_the_least_inflow_is_enough(wanted):
    assert sequent_peak(YEAR + 5.0, flat(wanted, 12)).volume_l == 0.0


def test_nothing_carries_over_where_more_is_wanted_than_comes():
    found = sequent_peak(YEAR, flat(YEAR.mean() + 0.1, 12))
    assert found.volume_l is None
    assert not found.carries_over
    assert found.need_l[12:].max() > found.need_l[:12].max()


def test_as_much_wanted_as_comes_still_carries_over():
    assert sequent_peak(YEAR, flat(YEAR.mean(), 12)).carries_over


@pytest.mark.parametrize("steps", [(0, 0), (3, 4)])
def test_series_of_two_lengths_or_none_are_refused(steps):
    with pytest.raises(OutOfRange, match="one length"):
        sequent_peak(flat(1, steps[0]), flat(1, steps[1]))
