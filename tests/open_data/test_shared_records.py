"""Real records of national services, as their folder's own page describes them (FOUND)."""

import os
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from eavewell.faults import BadRecord
from eavewell.files.rain.readers import read_rain, read_step_rain
from eavewell.weather.figures import rain_figures
from eavewell.weather.gaps import fill
from eavewell.weather.quality import inspect

HOME = Path(__file__).parents[2]
SHARED = Path(os.environ.get("EAVEWELL_SHARED_DATA", HOME.parent / "shared" / "data"))
pytestmark = pytest.mark.skipif(
    not SHARED.is_dir(), reason="the folder of real records is not beside the repository"
)

MEANS = [
    ("daily/USW00012960.dly.gz", "", 1265),
    ("daily/USW00023183.dly.gz", "", 185),
    ("daily/SeaTac_1948-2017_inF.csv.gz", "in", 983),
    ("daily/USW00014839_Milwaukee_inF.csv.gz", "in", 827),
    ("daily/USC00200230_AnnArbor.csv.gz", "", 891),
    ("daily/USC00026716_Portal4SW_AZ.csv.gz", "", 510),
]


@pytest.mark.parametrize(("name", "unit", "mean_mm"), MEANS)
def test_mean_of_the_full_years(name, unit, mean_mm):
    figures = rain_figures(read_rain(SHARED / name, unit=unit), today=date(2026, 1, 1))
    assert figures.mean_year_mm == pytest.approx(mean_mm, rel=0.01)


def test_houston_wettest_day():
    record = read_rain(SHARED / "daily/USW00012960.dly.gz")
    row = (date(2017, 8, 27) - record.first_day).days
    assert record.rain_mm[row] == pytest.approx(408, abs=0.5)
    assert record.missing.mean() < 0.0005


def test_austin_gap_and_its_complete_years():
    record = read_rain(SHARED / "daily/USW00013904.dly.gz")
    quality = inspect(record)
    assert quality.longest_gap_days == 7958
    assert quality.gap_from.year == 1971
    first, last = date(1999, 1, 1), date(2024, 12, 31)
    rows = slice((first - record.first_day).days, (last - record.first_day).days + 1)
    assert not record.missing[rows].any()
    assert record.rain_mm[rows].sum() / 26 == pytest.approx(864, rel=0.01)


def test_austins_worst_year_was_measured():
    record = read_rain(SHARED / "daily/USW00013904.dly.gz")
    windows = np.lib.stride_tricks.sliding_window_view(record.rain_mm, 365)
    sums = windows.sum(axis=1)
    row = int(np.nanargmin(sums))
    driest = rain_figures(fill(record), today=date(2026, 1, 1)).driest[12]
    assert driest.first == record.first_day + timedelta(days=row)
    assert driest.first.year == 2010
    assert driest.rain_mm == pytest.approx(float(np.nanmin(sums)))


@pytest.mark.parametrize("file", sorted(SHARED.glob("daily/US*")), ids=lambda file: file.name)
def test_no_record_in_its_own_unit_is_taken_for_another(file):
    assert inspect(read_rain(file, unit="in" if "inF" in file.name else "")).unit_slip == ""


def test_kettleman_has_lost_almost_half_its_days():
    quality = inspect(read_rain(SHARED / "daily/USC00044534_gappy.dly.gz"))
    assert quality.missing_share == pytest.approx(0.43, abs=0.005)


def test_the_dirty_hourly_file_is_caught():
    steps = read_step_rain(SHARED / "subdaily/DWD_hourly_GSDR_DE_02483_dirty.txt.gz")
    assert steps.rain_mm.max() < 450.0
    assert any("999" in note for note in steps.notes)
    assert any("450" in note for note in steps.notes)
    # 1046 hours of -999 are 43 whole days and more.
    assert len(steps.missing_days) > 43


@pytest.mark.parametrize(
    ("name", "mean_mm", "step"),
    [
        ("subdaily/Providence_376698_hourly_1948-2010.NCD.gz", 1146, 60),
        ("subdaily/Goerlitz_01684_5min_1993-2020_nonzero.csv.gz", 651, 5),
    ],
)
def test_short_steps_add_up_to_the_year(name, mean_mm, step):
    steps = read_step_rain(SHARED / name)
    record = read_rain(SHARED / name)
    assert steps.step_minutes == step
    assert float(np.nanmean(record.rain_mm)) * 365.25 == pytest.approx(mean_mm, rel=0.01)


def test_goerlitz_greatest_depths():
    steps = read_step_rain(SHARED / "subdaily/Goerlitz_01684_5min_1993-2020_nonzero.csv.gz")
    assert steps.rain_mm.max() == pytest.approx(15.9, abs=0.05)


def test_monthly_summary_is_named():
    with pytest.raises(BadRecord, match="monthly"):
        read_rain(SHARED / "weather/GSOM_ElPaso.csv")


@pytest.mark.parametrize("name", ["SeaTac_1948-2017_inF", "USW00014839_Milwaukee_inF"])
def test_a_silent_unit_is_asked_for_and_inches_read_as_mm_are_seen(name):
    with pytest.raises(BadRecord, match=r'say unit = "mm" or "in"'):
        read_rain(SHARED / f"daily/{name}.csv.gz")
    record = read_rain(SHARED / f"daily/{name}.csv.gz", unit="mm")
    assert any('unit = "in"' in note for note in record.notes)


@pytest.mark.parametrize("file", sorted(SHARED.glob("*/*")), ids=lambda file: file.name)
def test_every_file_of_the_shelf_is_read_or_refused_in_a_sentence(file):
    for read in (read_rain, read_step_rain):
        try:
            read(file, unit="")
        except BadRecord as fault:
            assert str(fault).endswith(".")
