"""Many roofs side by side give what a design of each one gives."""

import random

import polars as pl
import pytest
from tests.district.made_district import folder_of

from eavewell.design import design
from eavewell.district.gauges import gauges_of, record_at
from eavewell.district.one_roof import site_of_roof
from eavewell.district.roof_rows import read_roofs
from eavewell.district.run import Hands, Sources, screen_district
from eavewell.district.settings import read_district
from eavewell.files.price_book import price_book
from eavewell.site.beside import Beside
from eavewell.site.district import OneRoof
from eavewell.storage.doubts import doubts

ROOFS = 200
TO = 1e-9


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    home = tmp_path_factory.mktemp("district")
    folder_of(home, ROOFS)
    sources = Sources(home / "roofs.csv", home / "district.toml", home / "records")
    screen_district(sources, out=home / "out", hands=Hands(workers=1))
    return home


def table(home, kind):
    return pl.read_parquet(sorted((home / "out" / kind).glob("record=*/*.parquet")))


def sparing(stage, *inputs, **named):
    """Every stage but the doubts, which no roof of a district is told."""
    return None if stage is doubts else stage(*inputs, **named)


def test_200_random_roofs_equal_their_designs(home):
    district = read_district(home / "district.toml")
    gauges = {one.name: one for one in gauges_of(home / "records")}
    records = {name: record_at(gauge) for name, gauge in gauges.items()}
    roofs = read_roofs(home / "roofs.csv", district).roofs
    book, draw = price_book(None, currency="USD"), random.Random(11)
    of_roof = {row["row"]: row for row in table(home, "roofs").to_dicts()}
    of_size = {(row["row"], row["size_l"]): row for row in table(home, "sizes").to_dicts()}
    assert len(of_roof) == ROOFS
    assert len(of_size) == ROOFS * 3
    for at in range(ROOFS):
        size_l = draw.choice(district.sizes_l)
        told = of_roof[at + 1]
        one = OneRoof(
            roofs.use_set[at], roofs.finish[at], roofs.area_m2[at], roofs.people[at], "one"
        )
        gauge = gauges[told["record"]]
        site = site_of_roof(district, gauge, roof=one, size_l=size_l)
        beside = Beside(prices=book)
        found = design(site, records[gauge.name], beside=beside, stage=sparing)
        same(found, told, of_size[at + 1, size_l])


def same(found, told, row):
    drawn, money = found.drawn.reliability, found.reckoned
    wanted = sum(use.wanted_l_year for use in drawn.uses)
    about = pytest.approx
    assert row["supplied_share"] == about(drawn.supplied_share, rel=TO)
    assert row["days_met_share"] == about(drawn.days_met_share, rel=TO)
    longest = max((use.longest.short_days for use in drawn.uses if use.longest), default=0)
    assert row["dry_days_in_worst_spell"] == longest
    assert row["reaches_goal"] == found.sizing.meets_goal
    assert row["spilled_l_year"] == about(drawn.spilled_l_year, rel=TO, abs=TO * wanted)
    assert row["make_up_l_year"] == about(drawn.make_up_l_year, rel=TO, abs=TO * wanted)
    supplied = sum(use.supplied_l_year for use in drawn.uses)
    assert row["supplied_l_year"] == about(supplied, rel=TO)
    kept = drawn.inflow_l_year - drawn.spilled_l_year
    assert row["kept_l_year"] == about(kept, rel=TO, abs=TO * wanted)
    assert told["inflow_l_year"] == about(drawn.inflow_l_year, rel=TO)
    assert told["wanted_l_year"] == about(wanted, rel=TO)
    for end, name in (("", "typical"), ("_low", "low"), ("_high", "high")):
        assert row[f"first_cost{end}"] == about(getattr(money.priced.first, name), rel=TO)
        assert row[f"yearly_cost{end}"] == about(getattr(money.life.yearly, name), rel=TO)


def test_the_smallest_size_is_the_first_that_reaches_every_goal(home):
    smallest = {}
    for row in table(home, "sizes").sort("row", "size_l").to_dicts():
        if row["reaches_goal"]:
            smallest.setdefault(row["row"], row["size_l"])
    told = {row["row"]: row["smallest_l"] for row in table(home, "roofs").to_dicts()}
    assert {row: size for row, size in told.items() if size is not None} == smallest
    assert 20 < len(smallest) < ROOFS


def test_no_exact_place_and_no_people_leave_the_table(home):
    columns = set(table(home, "roofs").columns) | set(table(home, "sizes").columns)
    assert not columns & {"latitude", "longitude", "people", "elevation_m"}
    for row in table(home, "roofs").to_dicts():
        assert round(row["near_latitude"] / 0.02, 6) == round(row["near_latitude"] / 0.02)
