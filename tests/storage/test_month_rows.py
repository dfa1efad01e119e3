"""The month of each day, told month by month, is the one its date says."""

import numpy as np
import pytest

from eavewell.storage.reliability import month_rows


@pytest.mark.parametrize(
    ("first", "after"),
    [("1940-01-17", "2020-03-05"), ("2000-02-29", "2000-03-01"), ("1999-12-31", "2000-01-02")],
)
@pytest.mark.parametrize("unit", ["D", "s"])
def test_days_without_a_gap(first, after, unit):
    dates = np.arange(first, after, dtype="datetime64[D]")
    said = [int(str(one)[5:7]) - 1 for one in dates]
    assert month_rows(dates.astype(f"datetime64[{unit}]")).tolist() == said


def test_days_with_gaps_in_any_order_and_none():
    dates = np.array(["2001-03-09", "2000-12-31", "2001-03-09"], dtype="datetime64[D]")
    assert month_rows(dates).tolist() == [2, 11, 2]
    assert month_rows(dates[:0]).tolist() == []
