"""From memory: peak demand of a house by chance, with the plumbing trade's busy shares and flows.

COMPUTED by hand and by counting every case: M 0.7555, S 2.7505, P0 0.78278; 99th percentile plain
4.61, zero-truncated 7.64, counted 9.0 while busy and 6.5 gpm over all moments.
"""

from itertools import accumulate, product

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.probable_demand import Alike, alike, probable_demand
from eavewell.site.outlet import Outlet

GPM = 3.785411784 / 60.0
HOUSE = (
    Outlet("basins", "lavatory", count=2),
    Outlet("toilets", "toilet", count=2),
    Outlet("shower", "shower"),
    Outlet("tub", "tub and shower"),
    Outlet("sink", "kitchen sink"),
    Outlet("dishwasher", "dishwasher"),
    Outlet("washer", "clothes washer"),
)


def test_the_house():
    found = probable_demand(alike(HOUSE))
    assert found.mean / GPM == pytest.approx(0.7555, abs=1e-4)
    assert found.square / GPM**2 == pytest.approx(2.7505, abs=1e-4)
    assert found.idle == pytest.approx(0.78278, abs=1e-5)
    assert found.plain_l_s / GPM == pytest.approx(4.61, abs=0.01)
    assert found.truncated_l_s / GPM == pytest.approx(7.64, abs=0.01)
    assert found.busy_l_s / GPM == pytest.approx(9.0, abs=0.01)
    assert found.all_l_s / GPM == pytest.approx(6.5, abs=0.01)


def test_counted_against_every_case_one_by_one():
    kinds = (Alike(2, 0.1, 0.1), Alike(1, 0.3, 0.25), Alike(3, 0.05, 0.2))
    each = [(kind.busy_share, kind.flow_l_s) for kind in kinds for _ in range(kind.count)]
    cases = []
    for case in product((0, 1), repeat=len(each)):
        chance, flow = 1.0, 0.0
        for on, (share, draws) in zip(case, each, strict=True):
            chance *= share if on else 1.0 - share
            flow += draws * on
        cases.append((round(flow, 6), chance))
    cases.sort()
    chances = list(accumulate(chance for _, chance in cases))
    flow = next(case[0] for case, chance in zip(cases, chances, strict=True) if chance >= 0.99)
    assert probable_demand(kinds).all_l_s == pytest.approx(flow, abs=1e-3)


def test_one_fixture_draws_its_flow_and_none_nothing():
    assert probable_demand((Alike(1, 0.02, 0.14),)).busy_l_s == pytest.approx(0.14)
    assert probable_demand(()) is None
    assert alike((Outlet("hose", "hose bibb"),)) == ()


def test_more_fixtures_never_draw_less():
    peaks = [probable_demand((Alike(n, 0.045, 0.126),)).busy_l_s for n in range(1, 40)]
    assert peaks == sorted(peaks)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1])
def test_a_share_that_is_none(share):
    with pytest.raises(OutOfRange):
        probable_demand((Alike(1, share, 0.1),))


@pytest.mark.parametrize("count", [1000, 2000, 20000])
def test_so_many_that_the_normal_distribution_tells(count):
    """Far more fixtures than a house has: mean and 2.326 standard deviations, within 2 %."""
    found = probable_demand((Alike(count, 0.05, 0.1),))
    spread = (count * 0.05 * 0.95) ** 0.5
    assert found.busy_l_s == pytest.approx(0.1 * (count * 0.05 + 2.326 * spread), rel=0.02)
