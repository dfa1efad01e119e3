"""Laws of counters and of the fault finder, for any readings and any answers."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from eavewell.logbook.faults.fault_signs import signs_in
from eavewell.logbook.faults.faults_found import ANSWERS, narrowed
from eavewell.logbook.kept import Taken
from eavewell.logbook.readings.counter import Counter
from eavewell.papers.fault_causes import Cause
from eavewell.site.finding import Finding

SYMPTOM = "The tank falls faster than it should"
FIRST = datetime(2027, 3, 1, tzinfo=UTC)
CAUSES = tuple(Cause(SYMPTOM, n, n, "tank", (), f"cause {n}", "look", ("so",)) for n in range(1, 5))
CODES = ("leak", "leak-or-use", "no-leak-seen", "night-flow", "unheard-of")

answers = st.dictionaries(st.integers(1, 4), st.sampled_from(ANSWERS))
signs = st.sets(st.sampled_from(CODES)).map(
    lambda codes: signs_in(Finding(code, "note", "tank", "seen.") for code in sorted(codes))
)
figures = st.lists(st.floats(0.0, 1e5), min_size=2, max_size=30)


@given(answers, signs)
def test_what_is_open_shares_the_whole(said, seen):
    found = narrowed(CAUSES, answers=said, signs=seen)
    left = [one for one in found.causes if one.state != "ruled out"]
    assert sum(one.share for one in left) == pytest.approx(1.0 if left else 0.0)
    assert {one.share for one in found.causes if one.state == "ruled out"} <= {0.0}
    assert len(found.causes) == 4
    if found.next is not None:
        assert said.get(found.next.cause.number) not in ("yes", "no")
    elif left:
        assert set(said.values()) <= {"yes", "no"}


@given(answers, signs, st.integers(1, 4))
def test_ruling_out_makes_no_other_cause_less_likely(said, seen, number):
    before = narrowed(CAUSES, answers=said, signs=seen)
    after = narrowed(CAUSES, answers=said | {number: "yes"}, signs=seen)
    shares = {one.cause.number: one.share for one in before.causes}
    for one in after.causes:
        if one.cause.number != number:
            assert one.share >= shares[one.cause.number] - 1e-12


def counter(values):
    at = np.datetime64("2027-03-01", "ms") + np.arange(len(values)) * np.timedelta64(6, "h")
    return Counter.of_hours(Taken(at, np.array(values), np.arange(len(values))))


@given(figures, st.lists(st.floats(0.0, 400.0), min_size=3, max_size=3))
def test_a_counter_never_falls_and_its_parts_make_the_whole(values, hours):
    one = counter(values)
    a, b, c = (FIRST + timedelta(hours=hour) for hour in sorted(hours))
    assert one.between(a, c) == pytest.approx(one.between(a, b) + one.between(b, c), abs=1e-4)
    assert one.between(a, b) >= 0.0


@given(figures, st.floats(0.001, 1.0))
def test_when_an_amount_was_reached_just_that_much_was_counted(values, share):
    one = counter(values)
    whole = one.between(one.first, one.last)
    reached = one.reached(one.first, share * whole)
    if whole > 1.0:
        assert one.between(one.first, reached) == pytest.approx(share * whole, rel=1e-3, abs=1e-2)
    assert one.reached(one.first, whole + 1.0) is None
