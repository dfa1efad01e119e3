"""Choices weighed on a real record of a national service, against independent arithmetic."""

import os
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from eavewell.files.price_book import price_book
from eavewell.files.rain.readers import read_rain
from eavewell.site.beside import Beside
from eavewell.site.rain import Rain
from eavewell.site.weighing import Weighing
from eavewell.weigh import weigh

HOME = Path(__file__).parents[2]
SHARED = Path(os.environ.get("EAVEWELL_SHARED_DATA", HOME.parent / "shared" / "data"))
pytestmark = pytest.mark.skipif(
    not SHARED.is_dir(), reason="the folder of real records is not beside the repository"
)
GAL, FT2 = 3.785411784, 0.09290304
SIZES = tuple(gallons * GAL for gallons in (1000, 1500, 2600, 5000, 10000))
ROOFS = tuple(feet * FT2 for feet in (1000, 1500, 2000))


@pytest.fixture(scope="module")
def found(making):
    """50 gal a day from 1,000 ft2 or more in Houston."""
    site = making.site(
        roofs=(making.roof(ROOFS[0]),),
        tanks=(making.tank(2600 * GAL, start_share=0.0),),
        uses=(making.use(50 * GAL),),
        rain=Rain(record="real"),
    )
    asked = Weighing("tank", each_l=SIZES, counts=(1,), roofs_m2=ROOFS[1:])
    record = read_rain(SHARED / "daily/USW00012960.dly.gz")
    beside = Beside(prices=price_book(None, currency="USD"))
    site = replace(site, weighing=asked)
    return weigh(site, record, beside=beside, today=date(2026, 1, 1))


def days_met(found, choice):
    """Yield after spillage straight from its two lines; not our engine."""
    inflow = found.design.water.runoff_mm[:, 0] * choice.roof_m2
    wanted, level, met = 50 * GAL, 0.0, 0
    for water in inflow:
        gives = min(wanted, level)
        level = min(level + water - gives, choice.each_l - gives)
        met += gives >= wanted * (1 - 1e-9)
    return met / inflow.size


def test_the_front_meets_the_days_of_independent_arithmetic(found):
    assert found.tried == len(SIZES) * len(ROOFS)
    assert len(found.by_days) > 3
    for weight in found.by_days:
        assert weight.days_met_share == pytest.approx(days_met(found, weight.choice), rel=1e-9)


def test_more_for_more(found):
    costs = [weight.life.typical for weight in found.by_days]
    assert np.all(np.diff(costs) > 0.0)
    assert np.all(np.diff([weight.days_met_share for weight in found.by_days]) > 0.0)


def test_no_dry_day_takes_the_cheapest_that_reaches_it(found):
    reached = [weight for weight in found.by_days if weight.meets_goals]
    if found.cheapest is None:
        assert not reached
        assert found.nearest.longest_short_days > 0
    else:
        assert days_met(found, found.cheapest.choice) == 1.0


def test_the_next_purchase_gains_days(found):
    assert found.step.days_year > 0.0
    gained = days_met(found, found.step.weight.choice) - days_met(found, found.present.choice)
    assert found.step.days_year == pytest.approx(gained * 365.25)
