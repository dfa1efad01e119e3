"""Built systems in groups: none of few is told or found by subtraction; figures by arithmetic."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.district.register_groups import BY_AGE, BY_TOWN, age_of, in_groups
from eavewell.district.shared_site import (
    MoneyShared,
    ServiceShared,
    SharedSite,
)
from eavewell.district.shared_site import (
    TestsShared as OfTests,
)
from eavewell.district.used_water import UsedWater, peaks_of
from eavewell.site.share import Share

TODAY = date(2027, 6, 1)
FEW = 5


def used(rain_l_day=10.0, days=365, *, year_l=None, first="2026-06-01", every=True):
    dates = np.datetime64(first) + np.arange(days)
    return UsedWater(
        days=days,
        metered_l=rain_l_day * days,
        expected_l=20.0 * days,
        rain_l=rain_l_day * days,
        rain_l_year=rain_l_day * 365.25 if year_l is None else year_l,
        every_use=every,
        dates=dates,
        rain_day_l=np.full(days, rain_l_day),
        read_daily=np.ones(days, bool),
    )


def site(at, *, town="", years=None, status="working", **fields):
    first = None if years is None else TODAY - timedelta(days=round(365.25 * years) + 1)
    return SharedSite(f"s{at}", status, TODAY, share=Share((), town), first_use=first, **fields)


def lines(found):
    return {one.name: one for one in (*found.towns, *found.ages)}


def test_nothing_of_four_is_told():
    found = in_groups([site(at, town="Tallgrass", years=3) for at in range(4)], day=TODAY)
    assert found.whole.standing is None
    assert all(one.standing is None for one in (*found.towns, *found.ages))


def test_five_are_told():
    found = in_groups([site(at, town="Tallgrass", years=3) for at in range(5)], day=TODAY)
    assert found.whole.standing.working == 5
    assert lines(found)["Tallgrass"].standing.sites == 5
    assert lines(found)["2 to 5 years"].standing.share_low == 1.0


TOWNS = st.sampled_from(["Tallgrass", "Fernridge", "Saltcote", ""])
ONE = st.tuples(TOWNS, st.sampled_from([None, 1, 3, 7, 15, 40]), st.booleans(), st.booleans())


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.lists(ONE, max_size=40))
def test_no_figure_of_few_is_told_or_found_by_subtraction(drawn):
    """Whole less every line told, and every line, holds none or enough; for each figure."""
    sites = [
        site(
            at,
            town=town,
            years=years,
            service=ServiceShared((), 0) if shares else None,
            used=used() if meters else None,
        )
        for at, (town, years, shares, meters) in enumerate(drawn)
    ]
    found = in_groups(sites, day=TODAY)
    for figure, groups in [
        *((name, found.towns) for name in BY_TOWN),
        *((name, found.ages) for name in BY_AGE),
    ]:
        counts = [one.sites for each in groups if (one := getattr(each, figure)) is not None]
        whole = getattr(found.whole, figure)
        assert all(count >= FEW for count in counts)
        if whole is not None:
            assert whole.sites >= FEW
            left = whole.sites - sum(counts)
            assert left == 0 or left >= FEW
        else:
            assert counts == []
    assert all(one.metered is None and one.verified is None for one in found.towns)
    assert all(one.cared is None and one.tests is None for one in found.ages)


def test_what_works_between_the_least_and_the_most():
    words = ["working"] * 6 + ["stopped"] * 1 + ["not heard of"] * 2 + ["no log"]
    found = in_groups([site(at, status=word) for at, word in enumerate(words)], day=TODAY)
    whole = found.whole.standing
    assert (whole.sites, whole.working, whole.stopped, whole.unknown) == (10, 6, 1, 3)
    assert (whole.share_low, whole.share_high) == (0.6, 0.9)


def test_all_are_paid_for_and_those_that_work_give_water():
    money = MoneyShared(100.0, "USD", 20_000.0)
    sites = [
        site(at, status="working" if at < 3 else "stopped", money=money, used=used(year_l=10_000.0))
        for at in range(6)
    ]
    whole = in_groups(sites, day=TODAY).whole
    # 600 a year for 30 m3 by meter, 60 m3 by the designs
    assert whole.verified.per_m3 == pytest.approx(20.0)
    assert whole.modelled.per_m3 == pytest.approx(10.0)
    assert (whole.verified.sites, whole.verified.working) == (6, 3)


def test_a_site_whose_meter_leaves_uses_out_verifies_no_cost():
    money = MoneyShared(100.0, "USD", 20_000.0)
    sites = [site(at, money=money, used=used(every=False)) for at in range(6)]
    whole = in_groups(sites, day=TODAY).whole
    assert whole.verified is None
    assert whole.metered.sites == 6


def test_money_of_another_currency_is_not_added():
    sites = [site(at, money=MoneyShared(100.0, "USD", 1000.0)) for at in range(6)]
    sites.append(site(9, money=MoneyShared(9e9, "EUR", 1.0)))
    assert in_groups(sites, day=TODAY).whole.modelled.sites == 6


def test_peaks_are_of_one_month_and_one_day():
    """June of the one and July of the other are two months; the peak is the larger together."""
    june, july = used(0.0, first="2026-06-01"), used(0.0, first="2026-06-01")
    june.rain_day_l[0:30] = 5.0
    july.rain_day_l[30:61] = 4.0
    june.rain_day_l[30:61] = 3.0
    found = peaks_of([june, july])
    # June 30 x 5 = 150; July 31 x (4 + 3) = 217
    assert (found.month, found.month_l, found.day_l) == (7, 217.0, 7.0)


def test_a_day_of_many_is_no_peak_day():
    one = used(0.0)
    one.rain_day_l[10] = 50.0
    one.read_daily[10] = False
    assert peaks_of([one]).day_l == 0.0


@pytest.mark.parametrize(
    ("years", "age"),
    [
        (0.1, "under 2 years"),
        (2.0, "2 to 5 years"),
        (9.9, "5 to 10 years"),
        (30, "20 years and over"),
        (None, "age not told"),
    ],
)
def test_ages(years, age):
    assert age_of(site(0, years=years), day=TODAY) == age


def test_tests_and_care_are_counted_by_site():
    sites = [
        site(at, tests=OfTests(at % 2, 1 if at == 0 else 0, 3), service=ServiceShared((), 2))
        for at in range(6)
    ]
    whole = in_groups(sites, day=TODAY).whole
    assert (whole.tests.sites, whole.tests.failed, whole.tests.expired) == (6, 3, 1)
    assert (whole.cared.sites, whole.cared.behind, whole.cared.again) == (6, 0, 12)
