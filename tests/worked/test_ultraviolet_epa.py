"""EPA Ultraviolet Disinfection Guidance Manual, table 1.4 (seen in a copy), mJ/cm2.

FOUND: Cryptosporidium 1.6 to 22, Giardia 1.5 to 22, virus 39 to 186 for half a log to four.
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.treatment.ultraviolet import dose_for_mj_cm2, log_credit, organisms

LOGS = (0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0)
TABLE = {
    "cryptosporidium": (1.6, 2.5, 3.9, 5.8, 8.5, 12, 15, 22),
    "giardia": (1.5, 2.1, 3.0, 5.2, 7.7, 11, 15, 22),
    "virus": (39, 58, 79, 100, 121, 143, 163, 186),
}


@pytest.mark.parametrize("organism", list(TABLE))
def test_every_row_both_ways(organism):
    assert organism in organisms()
    for log, dose in zip(LOGS, TABLE[organism], strict=True):
        assert dose_for_mj_cm2(organism, log) == dose
        assert log_credit(organism, dose) == log
        assert log_credit(organism, dose - 0.01) < log


def test_forty_is_much_against_cysts_and_little_against_virus():
    assert log_credit("cryptosporidium", 40) == 4.0
    assert log_credit("giardia", 40) == 4.0
    assert log_credit("virus", 40) == 0.5
    assert log_credit("virus", 100) == 2.0


def test_nothing_beyond_the_table():
    assert log_credit("virus", 1000) == 4.0
    assert log_credit("virus", 0) == 0.0
    assert dose_for_mj_cm2("giardia", 0.7) == 2.1
    for call in (
        lambda: dose_for_mj_cm2("virus", 4.5),
        lambda: log_credit("lead", 40),
        lambda: log_credit("virus", -1),
    ):
        with pytest.raises(OutOfRange):
            call()
