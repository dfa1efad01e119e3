"""Jenkins et al. 1978, Fewkes & Butler 2000, as told in Plumbing Africa, Jan 2019, pp. 33-35.

The rules are FOUND; the ten-day run is DERIVED from them by hand:

YAS: Y = min(D, V before);      V = min(V before + Q, S) - Y
YBS: Y = min(D, V before + Q);  V = min(V before + Q - Y, S)
"""

import pytest

from eavewell.storage.balance import run

CAPACITY_L, START_L, WANTED_L = 500.0, 100.0, 150.0
RUNOFF_L = (0.0, 400.0, 0.0, 0.0, 900.0, 100.0, 0.0, 0.0, 0.0, 0.0)

SUPPLIED_L = {
    "yas": (100, 0, 150, 150, 100, 150, 150, 150, 50, 0),
    "ybs": (100, 150, 150, 100, 150, 150, 150, 150, 150, 0),
}
LEVEL_L = {
    "yas": (0, 400, 250, 100, 400, 350, 200, 50, 0, 0),
    "ybs": (0, 250, 100, 0, 500, 450, 300, 150, 0, 0),
}
# Day 5: yas 100 + 900 - 500 = 500; ybs 0 + 900 - 150 - 500 = 250.
SPILLED_L = {"yas": 500.0, "ybs": 250.0}
# Short: yas days 1, 2, 5, 9, 10; ybs days 1, 4, 10. Runs: yas 1-2 or 9-10; ybs single days.
DAYS_MET = {"yas": 5, "ybs": 7}
LONGEST_SHORT = {"yas": 2, "ybs": 1}


@pytest.fixture(params=["yas", "ybs"])
def rule(request):
    return request.param


def _parts(arranging, rule):
    return arranging.Parts(
        stores=[arranging.Store(CAPACITY_L, START_L)],
        roofs=[arranging.Roof(RUNOFF_L)],
        uses=[arranging.Use([WANTED_L] * 10)],
        rule=rule,
    )


def test_every_day(arranging, rule):
    kept = run(arranging.arranged(_parts(arranging, rule)), keep_lane=0).every_day
    assert kept.supplied_l[:, 0] == pytest.approx(SUPPLIED_L[rule])
    assert kept.level_l[:, 0] == pytest.approx(LEVEL_L[rule])
    on_day_five = [0.0] * 4 + [SPILLED_L[rule]] + [0.0] * 5
    assert kept.spilled_l[:, 0] == pytest.approx(on_day_five)


@pytest.mark.parametrize("keep_lane", [None, 0], ids=["plain path", "general path"])
def test_sums_and_reliability(arranging, rule, keep_lane):
    balance = run(arranging.arranged(_parts(arranging, rule)), keep_lane=keep_lane)
    total = sum(SUPPLIED_L[rule])
    assert total == {"yas": 1000, "ybs": 1250}[rule]
    assert balance.sums.supplied_l[0, 0] == pytest.approx(total)
    assert balance.sums.spilled_l[0, 0] == pytest.approx(SPILLED_L[rule])
    assert balance.supplied_share[0] == pytest.approx(total / 1500.0)
    assert balance.supplied_share[0] == pytest.approx(
        {"yas": 0.6667, "ybs": 0.8333}[rule], abs=5e-5
    )
    assert balance.met_share[0] == pytest.approx(DAYS_MET[rule] / 10.0)
    assert balance.sums.longest_short_days[0, 0] == LONGEST_SHORT[rule]
    # 100 + 1,400 - supplied - spilled leaves nothing.
    assert 100 + 1400 - total - SPILLED_L[rule] == 0
    assert balance.end_l[0, 0] == pytest.approx(0.0)
    assert balance.error_l[0] == pytest.approx(0.0)


def test_before_spillage_never_supplies_less(arranging):
    runs = [run(arranging.arranged(_parts(arranging, rule))) for rule in ("yas", "ybs")]
    assert runs[1].sums.supplied_l[0, 0] >= runs[0].sums.supplied_l[0, 0]
