"""What is noted of a site while a stage reads it: enough, and no more than it read."""

from dataclasses import replace
from pathlib import Path

import pytest

from eavewell.design import design
from eavewell.files.site.reader import read_site
from eavewell.site.site import Site
from eavewell.storage.doubts import doubts
from eavewell.storage.sizing import size_system
from eavewell.weather.climates import climate_record
from eavewell.web.recall import Recall
from eavewell.web.watched import watched

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def site():
    return read_site(EXAMPLES / "whole-house" / "site.toml")


def _read(function, site):
    return watched(function, (site,), named={}, at=0, whole=frozenset())


def test_fields_of_parts_are_noted_one_by_one(site):
    seen = _read(lambda site: [tank.base_m for tank in site.tanks], site)
    assert seen.made == [tank.base_m for tank in site.tanks]
    assert seen.read == {("tanks", ""), ("tanks", "base_m")}
    assert not seen.held
    assert not seen.holds_site


def test_what_a_property_reads_is_noted(site):
    seen = _read(lambda site: site.tanks[0].usable_l, site)
    assert {("tanks", "dead_l"), ("tanks", "shape"), ("tanks", "count")} <= seen.read
    assert ("tanks", "name") not in seen.read


def test_what_says_something_itself_is_read_whole(site):
    assert _read(lambda site: site.name + site.rule, site).read == {("name", "*"), ("rule", "*")}


def test_a_copy_and_a_comparison_read_all_fields(site):
    names = {("place", ""), *(("place", name) for name in type(site.place).__slots__)}
    copied = _read(lambda site: replace(site.place) is not site.place, site)
    assert (copied.made, copied.read) == (True, names)
    compared = _read(lambda site: replace(site.place, show="us") == site.place, site)
    assert (compared.made, compared.read) == (True, names)


def test_a_part_is_of_its_own_kind(site):
    seen = _read(lambda site: [one.__class__ for one in (site, *site.roofs)], site)
    assert seen.made == [Site, *(type(one) for one in site.roofs)]


def test_a_result_that_holds_parts_is_made_of_the_parts_themselves(site):
    assert _read(lambda site: site.tanks[1:], site).held == {"tanks"}
    assert _read(lambda site: {"as it is": site}, site).holds_site
    recall = Recall()

    def stage(site):
        return (site.tanks[-1], site.place.show)

    assert recall(stage, site)[0] is site.tanks[-1]
    assert recall(stage, replace(site, name="another"))[0] is site.tanks[-1]
    higher = replace(site.tanks[-1], base_m=9.0)
    assert recall(stage, replace(site, tanks=(*site.tanks[:-1], higher)))[0] is higher


def _ran(recall, site, record):
    """The stages that were not remembered."""
    ran = []

    def stage(function, *inputs, **named):
        def noted(*inputs, **named):
            ran.append(function)
            return function(*inputs, **named)

        noted.__module__, noted.__qualname__ = function.__module__, function.__qualname__
        return None if function is doubts else recall(noted, *inputs, **named)

    design(site, record, stage=stage)
    return ran


def test_a_level_moved_leaves_the_balance_as_it_is(site):
    record, recall = climate_record("dry-uplands", 4), Recall()
    assert size_system in _ran(recall, site, record)
    roof, tank = site.roofs[0], site.tanks[0]
    for changes in (
        {"name": "another house"},
        {"roofs": (replace(roof, eave_m=roof.eave_m + 0.1), *site.roofs[1:])},
        {"tanks": (replace(tank, base_m=tank.base_m + 0.1), *site.tanks[1:])},
    ):
        assert size_system not in _ran(recall, replace(site, **changes), record)
    smaller = replace(tank, count=tank.count + 1)
    assert size_system in _ran(recall, replace(site, tanks=(smaller, *site.tanks[1:])), record)
