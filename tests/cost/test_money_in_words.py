"""Amounts as printed, by hand: as many figures as a price can bear."""

import pytest

from eavewell.report.cost import money


@pytest.mark.parametrize(
    ("amount", "says"),
    [
        (None, "-"),
        (0.0, "0"),
        (4.634, "4.63"),
        (999.4, "999"),
        (31_914.0, "31,910"),
        (108_910.0, "109,000"),
        (-108_910.0, "-109,000"),
        (999_999.0, "1,000,000"),
        (55_101_250.0, "55,100,000"),
    ],
)
def test_no_more_figures_than_a_price_can_bear(amount, says):
    assert money(amount) == says
