"""The site as described: its series, its long-run start, its account."""

import numpy as np
import pytest

from eavewell.site.lift import Lift
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.drawn import as_drawn
from eavewell.storage.in_service import run_in_service, start_in_words
from eavewell.storage.series import series, uses_in_order


def test_uses_stand_by_priority_then_as_in_the_file(making):
    uses = tuple(
        making.use(n, name, priority=p) for n, name, p in ((1, "b", 2), (2, "c", 1), (3, "a", 2))
    )
    site = making.site(uses=uses)
    assert [use.name for use in uses_in_order(site)] == ["c", "b", "a"]
    assert series(site, making.days(np.zeros(2))).demand_l.tolist() == [[2.0, 1.0, 3.0]] * 2


def test_only_drained_roofs_stand_in_the_series(making):
    site = making.site(roofs=(making.roof(to=""), making.roof(30.0, name="shed")))
    days = making.days(np.array([0.0, 20.0, 0.0]))
    water = series(site, days)
    assert water.runoff_mm.shape == (3, 1)
    assert 0.0 < water.runoff_mm[1, 0] < 20.0
    low, high = (series(site, days, band=band).runoff_mm.sum() for band in ("low", "high"))
    assert low < water.runoff_mm.sum() < high
    part = water.rows(1, 3)
    assert part.days == 2
    assert part.dates.tolist() == water.dates[1:].tolist()


def test_no_roof_leads_to_a_store(making):
    site = making.site(roofs=(making.roof(to=""),))
    water = series(site, making.days(np.full(400, 9.0)))
    assert as_drawn(site, water).reliability.supplied_share == 0.0


def test_a_store_in_service_starts_where_three_years_leave_it(making):
    # 20 L come and 8 L go every day: full at 200 L, less the day's 8 L in the evening.
    site = making.site()
    water = making.series(np.full(2000, 2.0), [8.0])
    found = run_in_service(site, arrange(site, water, lanes=lanes_as_drawn(site)))
    assert found.start_l.tolist() == [192.0]
    assert found.supplied_share.tolist() == [1.0]
    assert "first 3 years" in start_in_words(site)


@pytest.mark.parametrize("share", [0.0, 0.25, 1.0])
def test_a_stated_start_stands(making, share):
    site = making.site(tanks=(making.tank(200.0, start_share=share),))
    water = making.series(np.full(2000, 2.0), [8.0])
    found = run_in_service(site, arrange(site, water, lanes=lanes_as_drawn(site)))
    assert found.start_l.tolist() == [200.0 * share]
    assert start_in_words(site) == "the stores start as stated in the site file"


def test_stated_and_other_stores_stand_side_by_side(making):
    tanks = (making.tank(100.0, "a", start_share=0.5), making.tank(50.0, "b"))
    site = making.site(tanks=tanks, uses=(making.use(1.0, draws_from=("a",)),))
    site_lift = making.site(
        tanks=tanks, uses=site.uses, lifts=(Lift("up", "a", "b"),), roofs=(making.roof(to="a"),)
    )
    water = making.series(np.full(1200, 5.0), [1.0])
    found = run_in_service(site_lift, arrange(site_lift, water, lanes=lanes_as_drawn(site_lift)))
    assert found.start_l.tolist() == [50.0 + 50.0]  # half of a; b stands full after three years
    assert start_in_words(site_lift).startswith("every store whose start is not stated")


def test_a_use_that_is_never_short_has_the_whole_share(making):
    # A want that binary numbers cannot hold, summed over 40 years, must not print as 99.9 %.
    site = making.site(uses=(making.use(0.1),))
    found = as_drawn(site, making.series(np.full(14610, 2.0), [0.1])).reliability
    assert (found.supplied_share, found.uses[0].supplied_share, found.longest) == (1.0, 1.0, None)


def test_the_account_closes_over_stores_lifts_and_spills(making):
    tanks = (making.tank(300.0, "main", open_area_m2=1.0), making.tank(60.0, "header"))
    site = making.site(
        tanks=tanks,
        uses=(making.use(6.0, draws_from=("header", "main")),),
        lifts=(Lift("up", "main", "header", limit_l_day=20.0),),
    )
    water = series(site, making.days(making.wet_and_dry(4)))
    found = as_drawn(site, water)
    account, years = found.reliability, water.days / 365.25
    came = account.inflow_l_year * years
    supplied = sum(use.supplied_l_year for use in account.uses) * years
    gone = supplied + (account.spilled_l_year + account.lost_l_year) * years
    assert came - gone == pytest.approx(account.end_l - account.start_l, abs=1e-6 * came)
    assert account.lost_l_year > 0.0
    assert found.roof_l_year[0] == pytest.approx(account.inflow_l_year)
    assert found.demand[0].mean_l_day == pytest.approx(6.0)
