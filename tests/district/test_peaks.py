"""The peak month by mean roofs, held against the design of the one roof that it is."""

import numpy as np
import pytest
from tests.district.made_district import folder_of

from eavewell.answers.months import months
from eavewell.design import design
from eavewell.district.gauges import gauges_of, record_at
from eavewell.district.one_roof import site_of_roof
from eavewell.district.peaks import peak_of
from eavewell.district.run import Sources, prepare
from eavewell.site.district import OneRoof
from eavewell.storage.doubts import doubts

ROW = "id,latitude,longitude,area_ft2,finish,people,use_set\n"


def sparing(stage, *inputs, **named):
    return None if stage is doubts else stage(*inputs, **named)


def prepared(home, rows):
    folder_of(home, 1)
    (home / "roofs.csv").write_text(ROW + "\n".join(rows) + "\n")
    sources = Sources(home / "roofs.csv", home / "district.toml", home / "records")
    return prepare(sources, out=home / "out")


@pytest.mark.parametrize("use_set", ["household", "house and garden"])
def test_one_roof_is_as_its_design(tmp_path, use_set):
    home = tmp_path / "one"
    work = prepared(home, [f"a,30.30,-97.90,900,metal,2,{use_set}"])
    district, size_l = work.asked.district, work.asked.district.sizes_l[1]
    found = peak_of(district, work.parts, size_l=size_l)
    gauge = next(one for one in gauges_of(home / "records") if one.name == "Q0")
    roof = OneRoof(use_set, "metal", 900 * 0.09290304, 2, "a")
    site = site_of_roof(district, gauge, roof=roof, size_l=size_l)
    made = design(site, record_at(gauge), stage=sparing)
    told = months(made)
    if use_set == "household":  # the same every day of the year
        peak = min(told, key=lambda one: one["supplied_l"] / one["wanted_l"])
    else:
        peak = max(told, key=lambda one: one["wanted_l"])
    assert found.alike == (use_set == "household")
    assert found.month == peak["month"]
    assert found.wanted_l == pytest.approx(peak["wanted_l"], rel=1e-9)
    assert found.supplied_l == pytest.approx(peak["supplied_l"], rel=1e-9)
    mine = made.water.dates.astype("datetime64[M]").astype(int) % 12 + 1 == found.month
    daily = made.drawn.every_day.supplied_l.sum(axis=1)[mine]
    assert np.mean(daily >= found.sure_l_day - 1e-9) >= 0.9
    assert np.mean(daily > found.sure_l_day + 1e-9) <= 0.9
    (spell,), longest = found.spells, made.drawn.reliability.longest
    assert (spell.record, spell.short_days) == ("Q0", longest.short_days)
    assert (spell.first, spell.last) == (str(longest.first), str(longest.last))
    every, dates = made.drawn.every_day, made.water.dates
    within = (dates >= np.datetime64(spell.first)) & (dates <= np.datetime64(spell.last))
    short = every.planned_l - every.supplied_l > 1e-6
    assert spell.short_days in short[within].sum(axis=0)


def test_roofs_alike_are_so_many_times_the_one(tmp_path):
    row = "{},30.30,-97.90,900,metal,2,household"
    work = prepared(tmp_path / "one", [row.format("a")])
    one = peak_of(work.asked.district, work.parts, size_l=work.asked.district.sizes_l[1])
    work = prepared(tmp_path / "seven", [row.format(name) for name in "abcdefg"])
    seven = peak_of(work.asked.district, work.parts, size_l=work.asked.district.sizes_l[1])
    assert seven.month == one.month
    assert seven.wanted_l == pytest.approx(7 * one.wanted_l)
    assert seven.supplied_l == pytest.approx(7 * one.supplied_l)
    assert seven.sure_l_day == pytest.approx(7 * one.sure_l_day)


def test_records_with_few_roofs_are_left_to_the_others(tmp_path, monkeypatch):
    rows = [f"{name},30.30,-97.90,900,metal,2,household" for name in "abc"]
    work = prepared(tmp_path / "two", [*rows, "d,30.60,-97.50,900,metal,2,household"])
    district, parts = work.asked.district, work.parts
    most = tuple(part for part in parts if part.roofs.count == 3)
    alone = peak_of(district, most, size_l=district.sizes_l[1])
    monkeypatch.setattr("eavewell.district.peaks.MOST_RECORDS", 1)
    found = peak_of(district, parts, size_l=district.sizes_l[1])
    assert (found.records, found.of) == (1, 2)
    assert found.supplied_l == pytest.approx(4 / 3 * alone.supplied_l)
