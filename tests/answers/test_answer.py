"""A design as plain data: whole, with units, free of NaN, and closing from its own keys."""

import json
from datetime import date
from importlib.resources import files
from pathlib import Path

import jsonschema
import numpy as np
import pytest

from eavewell.answers import answer
from eavewell.answers.schema import keys, schema
from eavewell.design import design
from eavewell.files.record import record_of
from eavewell.files.site.reader import read_site
from eavewell.site.lift import Lift
from eavewell.site.rain import DroughtRow, Rain

TODAY = date(2026, 1, 1)
STARTERS = files("eavewell.files.site").joinpath("starters")
# A starter and an example that say the same are designed once.
SITES = {
    file.read_text(encoding="utf-8"): file
    for file in (
        *Path(str(STARTERS)).glob("*.toml"),
        *Path(__file__).parents[2].glob("examples/*/site.toml"),
    )
}


@pytest.fixture(
    scope="module",
    params=sorted(SITES.values()),
    ids=lambda file: f"{file.parent.name}/{file.stem}",
)
def starter(request):
    site = read_site(request.param)
    return design(site, record_of(site), today=TODAY)


@pytest.fixture(scope="module")
def made_up(making):
    """Mains into a store and to a use, an open tank, a lift, a short record and a drought."""
    site = making.site(
        tanks=(making.tank(500.0, "main", open_area_m2=2.0), making.tank(40.0, "header")),
        lifts=(
            Lift("up", "main", "header"),
            Lift("make-up", "mains", "main", target_start_share=0.1, target_stop_share=0.3),
        ),
        uses=(
            making.use(20.0, draws_from=("header",), fallback="mains"),
            making.use(90.0, "garden", draws_from=("header", "main"), priority=2, fallback="mains"),
        ),
        rain=Rain(record="x", drought=(DroughtRow(1, 0.0),) * 2),
    )
    return design(site, making.record(making.wet_and_dry(3)), today=TODAY)


def walk(node, path=""):
    """Every leaf of a schema with its path."""
    if node.get("type") == "object":
        for name, inner in node["properties"].items():
            yield from walk(inner, f"{path}.{name}")
    elif node.get("type") == "array":
        yield from walk(node["items"], f"{path}[]")
    else:
        yield path, node


def check(plain):
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(
        plain,
        schema(),
        cls=jsonschema.Draft202012Validator,
        format_checker=jsonschema.FormatChecker(),
    )
    assert json.loads(json.dumps(plain, allow_nan=False)) == plain


def test_every_key_has_a_meaning_and_every_number_a_unit():
    leaves = list(walk(schema()))
    assert len(leaves) == len(keys())
    for path, leaf in leaves:
        assert leaf["description"], path
        kinds = leaf["type"] if isinstance(leaf["type"], list) else [leaf["type"]]
        if {"number", "integer"} & set(kinds):
            assert leaf.get("unit"), path


def test_a_key_that_is_not_described_is_refused(made_up):
    plain = answer(made_up)
    with pytest.raises(jsonschema.ValidationError, match="Additional properties"):
        jsonschema.validate(plain | {"extra": 1}, schema())
    with pytest.raises(jsonschema.ValidationError, match="required"):
        jsonschema.validate({k: v for k, v in plain.items() if k != "roofs"}, schema())


def test_a_starter_answers_by_the_schema(starter):
    check(answer(starter))


def test_a_made_up_site_answers_by_the_schema(made_up):
    check(answer(made_up))


def test_a_record_of_one_odd_year_answers_by_the_schema(making):
    """No full calendar year and, for one month, no whole month."""
    record = making.record(making.wet_and_dry(1.05)[:366], first=date(2003, 7, 15))
    check(answer(design(making.site(), record, today=TODAY)))


def assert_closes(plain, days):
    store, years = plain["storage"], days / 365.25
    to_uses = sum(use["make_up_l_per_year"] for use in store["uses"])
    came = store["inflow_l_per_year"] + store["hauled_l_per_year"]
    came += store["make_up_l_per_year"] - to_uses
    went = store["supplied_l_per_year"] + store["spilled_l_per_year"] + store["lost_l_per_year"]
    change = store["end_l"] - store["start_l"]
    assert (came - went) * years == pytest.approx(change, abs=1e-6 * came * years)


def assert_years_add_up(plain, days):
    store, years = plain["storage"], days / 365.25
    assert sum(year["days"] for year in plain["years"]) == days
    for ours, account in (
        ("supplied_l", "supplied_l_per_year"),
        ("spilled_l", "spilled_l_per_year"),
    ):
        total = sum(year[ours] for year in plain["years"])
        assert total == pytest.approx(store[account] * years, rel=1e-9, abs=1e-6)
    loads = sum(year["loads"] for year in plain["years"])
    assert loads == pytest.approx(store["loads_per_year"] * years)
    assert max(year["loads"] for year in plain["years"]) <= store["loads_in_worst_year"]


@pytest.mark.parametrize("check_of", [assert_closes, assert_years_add_up])
def test_the_account_of_a_starter(starter, check_of):
    check_of(answer(starter), starter.water.days)


@pytest.mark.parametrize("check_of", [assert_closes, assert_years_add_up])
def test_the_account_of_a_made_up_site(made_up, check_of):
    plain = answer(made_up)
    assert (
        plain["storage"]["make_up_l_per_year"] > plain["storage"]["uses"][0]["make_up_l_per_year"]
    )
    check_of(plain, made_up.water.days)


def test_figures_agree_with_the_days(starter):
    plain, every, water = answer(starter), starter.drawn.every_day, starter.water
    for u, use in enumerate(plain["storage"]["uses"]):
        wanted = water.demand_l[:, u].sum()
        assert use["supplied_share"] == pytest.approx(every.supplied_l[:, u].sum() / wanted)
        assert use["wanted_days"] == np.count_nonzero(water.demand_l[:, u])
        assert use["full_days"] + use["rationed_days"] + use["short_days"] == water.days
    assert 0.0 <= plain["storage"]["supplied_share"] <= 1.0
    lowest = every.level_l.sum(axis=1)
    assert min(plain["storage"]["levels"]["lowest_l"]) == pytest.approx(lowest.min())
    assert min(year["lowest_l"] for year in plain["years"]) == pytest.approx(lowest.min())
    assert len(plain["storage"]["levels"]["lowest_l"]) == len(
        np.unique(water.dates.astype("M8[M]"))
    )


def test_a_run_stands_beside_every_share(starter):
    """No share of a system, a use, a size or a stress without its longest run of short days."""
    plain = answer(starter)
    beside = [plain["storage"], *plain["storage"]["uses"], *plain["sizing"]["curve"]]
    for one in (*beside, plain["doubts"]["stress"]):
        assert {"supplied_share", "longest_short_days"} <= set(one)


def test_the_net_share_gives_the_gallons_beside_it(starter):
    plain = answer(starter)
    mean_mm = plain["rain"]["mean_year_mm"]
    for roof in plain["roofs"]:
        if roof["drains_to"]:
            rained_l = roof["plan_area_m2"] * mean_mm
            assert roof["net_share"] * rained_l == pytest.approx(roof["mean_year_l"])
            assert 0.0 < roof["net_share"] < 1.0


def test_recalled_rules_of_thumb_are_marked(made_up):
    marks = {rule["name"]: rule["mark"] for rule in answer(made_up)["sizing"]["rules_of_thumb"]}
    assert marks["one third"] == "memory", "name seen, number recalled"


def test_less_rain_is_told_where_the_site_factor_is_unknown(made_up):
    size = answer(made_up)["sizing"]
    assert size["less_rain_factor"] < 1.0
    assert 0.0 <= size["less_rain_supplied_share"] <= 1.0
    assert size["less_rain_longest_short_days"] >= 0
