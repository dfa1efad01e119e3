"""Sizes written to the side on which they hold."""

from eavewell.findings.rounding import no_less, no_more
from eavewell.units import read


def test_the_last_digits_of_arithmetic_are_no_lack():
    left_m = read("50 ft", "length") - read("38 ft", "length")
    assert left_m != read("12 ft", "length"), "by the last digits"
    assert no_less(left_m, "length", system="us") == "12 ft"
    assert no_more(left_m, "length", system="us") == "12 ft"
