"""Texas Manual on Rainwater Harvesting 2005, chapter 4, method from MEMORY; table DERIVED.

The rain of the twelve months is not the manual's; the balance was worked by hand in gallons:
roof 2,500 ft2, efficiency 0.85, constant 0.62, 1,000 gal at the start, tank 10,000 gal.
"""

import numpy as np
import pytest

from eavewell.storage.monthly import monthly_balance

GAL = 3.785411784
RAIN_IN = np.array([2.0, 2.4, 3.0, 3.2, 4.8, 3.6, 2.0, 2.1, 3.0, 3.9, 2.4, 2.3])
COLLECTED_GAL = 0.62 * 2500 * 0.85 * RAIN_IN
END_GAL = [635, 797, 1749.5, 2965.5, 6289.5, 8032.5, 7667.5, 7434.25, 8386.75, 10000, 10000, 10000]


def year(demand_gal):
    return monthly_balance(
        COLLECTED_GAL * GAL, demand_gal * GAL, tank_l=10000 * GAL, opening_l=1000 * GAL
    )


def test_twelve_months():
    balance = year(3000)
    assert balance.end_l / GAL == pytest.approx(END_GAL)
    assert balance.overflow_l / GAL == pytest.approx([0] * 9 + [525, 162, 30.25])
    assert balance.supplied_l.sum() / GAL == pytest.approx(36000)
    assert balance.collected_l.sum() / GAL == pytest.approx(45717.25)
    assert balance.supplied_share == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("demand_gal", "share", "end_gal"), [(3500, 0.9952, 4920.25), (4500, 0.8651, 0.0)]
)
def test_reliability_at_greater_demand(demand_gal, share, end_gal):
    balance = year(demand_gal)
    assert balance.supplied_share == pytest.approx(share, abs=0.00005)
    assert balance.end_l[-1] / GAL == pytest.approx(end_gal, abs=0.01)
