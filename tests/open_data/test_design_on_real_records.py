"""Designs on real records of national services, against independent arithmetic."""

import os
import re
import shutil
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from eavewell.answers import answer
from eavewell.design import design
from eavewell.files.rain.readers import read_rain
from eavewell.site.rain import Rain
from eavewell.storage.drawn import as_drawn
from eavewell.storage.ensembles import ensemble, fullest_month

HOME = Path(__file__).parents[2]
SHARED = Path(os.environ.get("EAVEWELL_SHARED_DATA", HOME.parent / "shared" / "data"))
pytestmark = pytest.mark.skipif(
    not SHARED.is_dir(), reason="the folder of real records is not beside the repository"
)
GALLON_L = 3.785411784
FT2_M2 = 0.09290304
HOUSTON = "daily/USW00012960.dly.gz"
PHOENIX = "daily/USW00023183.dly.gz"


@pytest.fixture(scope="module")
def house(making):
    """One roof, one tank, one use, in US units."""

    def _house(*, gallons, ft2, gallons_day):
        return making.site(
            roofs=(making.roof(ft2 * FT2_M2),),
            tanks=(making.tank(gallons * GALLON_L),),
            uses=(making.use(gallons_day * GALLON_L),),
            rain=Rain(record="real"),
        )

    return _house


@pytest.fixture(scope="module")
def houston(house):
    record = read_rain(SHARED / HOUSTON)
    return design(house(gallons=2600, ft2=1000, gallons_day=50), record, today=date(2026, 1, 1))


def yas(inflow_l, wanted_l, usable_l, start_l):
    """Yield after spillage, one tank, one use, straight from its two lines; not our engine."""
    level, supplied = start_l, np.zeros(inflow_l.size)
    for day in range(inflow_l.size):
        gives = min(wanted_l[day], level)
        level = min(level + inflow_l[day] - gives, usable_l - gives)
        supplied[day] = gives
    return supplied, level


def assert_agrees_with_yas(found, usable_l):
    water, drawn = found.water, found.drawn
    inflow = water.runoff_mm[:, 0] * found.site.roofs[0].plan_area_m2
    wanted = water.demand_l[:, 0]
    _, start = yas(inflow[:1095], wanted[:1095], usable_l, 0.0)
    supplied, end = yas(inflow, wanted, usable_l, start)
    ours = drawn.reliability
    assert ours.supplied_share == pytest.approx(supplied.sum() / wanted.sum(), rel=1e-9)
    full = supplied >= wanted * (1 - 1e-9)
    assert ours.uses[0].full_days == int(full.sum())
    assert ours.days_met_share == pytest.approx(full.mean(), rel=1e-9)
    assert ours.end_l == pytest.approx(end, rel=1e-9)
    runs = np.diff(np.flatnonzero(np.r_[True, full, True])) - 1
    assert ours.longest.short_days == runs.max()
    return supplied


def test_houston_agrees_with_the_two_lines_of_yield_after_spillage(houston):
    assert_agrees_with_yas(houston, 2600 * GALLON_L)


def test_houston_is_bounded_by_its_water(houston):
    plain = answer(houston)
    store = plain["storage"]
    wanted = 50 * GALLON_L * 365.25
    assert store["uses"][0]["wanted_l_per_year"] == pytest.approx(wanted)
    came = store["inflow_l_per_year"] + 2600 * GALLON_L / houston.water.days * 365.25
    assert store["supplied_l_per_year"] <= min(wanted, came)
    # 1265 mm a year (FOUND) on 1,000 ft2 at a finish of 0.8 to 0.95, less the wetting.
    rained = 1265 * 1000 * FT2_M2
    assert 0.75 * rained < store["inflow_l_per_year"] < 0.95 * rained
    assert plain["rain"]["mean_year_mm"] == pytest.approx(1265, rel=0.01)


def test_houston_curve_rises_and_its_smallest_size_has_no_dry_day(houston, house):
    size = houston.sizing
    assert (np.diff(size.curve.supplied_share) >= -1e-12).all()
    assert (np.diff(size.curve.days_met_share) >= -1e-12).all()
    gallons = size.smallest_l / GALLON_L
    at_it = as_drawn(house(gallons=gallons, ft2=1000, gallons_day=50), houston.water)
    assert at_it.reliability.longest is None
    just_below = as_drawn(house(gallons=0.99 * gallons, ft2=1000, gallons_day=50), houston.water)
    assert just_below.reliability.longest is not None
    # The sequent peak knows of no order within a day: at most two days' use and a hair less.
    assert size.no_fail_l <= size.smallest_l * (1 + 1e-6)
    assert size.smallest_l <= size.no_fail_l + 3 * 50 * GALLON_L


def test_phoenix_days_met_with_a_stated_tank(house):
    """Two people at 17 gal and 35 gal outdoors, 5,000 ft2, 10,000 gal, on a real dry record.

    The yearly total alone (8.98 in at an efficiency of 0.90, COMPUTED) is no reliability:
    Phoenix has 185 mm, 7.3 in, and most days are not met.
    """
    wanted = (2 * 17 + 35) * 365
    assert wanted == 25_185
    inches = wanted / (0.90 * 5000 * 144 / 231)
    assert inches == pytest.approx(8.98, abs=0.01)
    assert inches > 185 / 25.4
    site = house(gallons=10_000, ft2=5000, gallons_day=69)
    found = design(site, read_rain(SHARED / PHOENIX), today=date(2026, 1, 1))
    supplied = assert_agrees_with_yas(found, 10_000 * GALLON_L)
    came = found.drawn.reliability.inflow_l_year
    assert found.drawn.reliability.supplied_share < came / (69 * GALLON_L * 365.25) < 1.0
    assert (supplied < 69 * GALLON_L * 0.999).mean() > 0.05
    assert found.sizing.smallest_l is None, "no tank makes up for rain that does not come"


def test_block_lengths_on_a_real_record(houston):
    month = fullest_month(houston.drawn.every_day.level_l, houston.water)
    observed = houston.drawn.reliability.supplied_share
    for block in (1, 3, 5):
        found = ensemble(houston.site, houston.water, first_month=month, block=block)
        assert found.block_years == block
        assert found.supplied_share.low < observed < found.supplied_share.high


def test_the_page_on_ranges_says_what_its_own_recipe_gives(tmp_path, monkeypatch, capsys):
    """No proof of the figures, only that page and program agree."""
    page = (HOME / "docs" / "ranges.md").read_text(encoding="utf-8")
    site, recipe = (
        re.search(rf"```{kind}\n(.*?)```", page, re.S)[1] for kind in ("toml", "python")
    )
    monkeypatch.chdir(tmp_path)
    Path("site.toml").write_text(site, encoding="utf-8")
    shutil.copy(SHARED / HOUSTON, tmp_path)
    exec(compile(recipe, "docs/ranges.md", "exec"), {})
    rows = capsys.readouterr().out.splitlines()
    assert len(rows) == 4
    assert [row for row in rows if row not in page] == []
