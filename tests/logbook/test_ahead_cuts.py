"""A cut of one use through every year, against a loop by hand; all of it is invented."""

import math
from datetime import date, timedelta

import numpy as np
import pytest

from eavewell.logbook.ahead.basis import Basis, Standing
from eavewell.logbook.ahead.look import look_ahead
from eavewell.site.reserve import Reserve
from eavewell.storage.series import series

DAY = date(2027, 3, 5)
AREA_M2, FULL_L, HELD_L = 30.0, 3_000.0, 1_500.0
HOUSE_L, GARDEN_L, GARDEN_KEEPS_L = 40.0, 25.0, 200.0


@pytest.fixture(scope="module")
def ahead(making):
    """A house before a garden, which leaves 200 L in the tank; 20 years."""
    garden = making.use(
        GARDEN_L, name="garden", end_use="outdoor", priority=2, reserve=Reserve(GARDEN_KEEPS_L)
    )
    site = making.site(
        roofs=(making.roof(AREA_M2),),
        tanks=(making.tank(FULL_L),),
        uses=(making.use(HOUSE_L), garden),
    )
    days = making.days(making.wet_and_dry(20))
    basis = Basis(site, series(site, days), days, series)
    held = np.array([HELD_L])
    return basis, look_ahead(basis, Standing(DAY, DAY, held, 0.0 * held))


def dry_row(runoff_mm, *, house, garden):
    """The first evening on which the house finds nothing; yield after spillage, house first."""
    held = HELD_L
    for row, depth in enumerate(runoff_mm):
        first = min(held, HOUSE_L * house)
        then = min(max(held - first - GARDEN_KEEPS_L, 0.0), GARDEN_L * garden)
        held = min(held + depth * AREA_M2, FULL_L) - first - then
        if held <= 1e-3:
            return row
    return math.inf


def by_hand(basis, **share):
    """The day by which it is dry in one year of ten, and how often within the year."""
    dates, runoff = basis.water.dates, basis.water.runoff_mm[:, 0]
    starts = [n for n, one in enumerate(dates.astype(str)) if one[5:10] == "03-05"]
    rows = [dry_row(runoff[n : n + 365], **share) for n in starts if n + 365 <= dates.size]
    tenth = sorted(rows)[math.ceil(0.1 * len(rows)) - 1]
    when = None if math.isinf(tenth) else DAY + timedelta(days=tenth)
    return when, sum(map(math.isfinite, rows)) / len(rows)


def test_each_cut_moves_the_day_as_a_loop_by_hand_says(ahead):
    basis, found = ahead
    (supply,) = found.supplies
    cuts = {cut.use: cut for cut in supply.cut_years}
    assert (found.ways[0].dry.dry_tenth, found.ways[0].dry.chance) == by_hand(
        basis, house=1, garden=1
    )
    assert cuts["house"].stopped is None
    for cut, share in (
        (cuts["house"].halved, {"house": 0.5, "garden": 1}),
        (cuts["garden"].stopped, {"house": 1, "garden": 0}),
        (cuts["garden"].halved, {"house": 1, "garden": 0.5}),
    ):
        assert (cut.dry_tenth, cut.chance) == by_hand(basis, **share)
