"""The file of a district: each field is read, and every fault is told with its line."""

import pytest
from tests.district.made_district import SETTINGS

from eavewell.district.settings import district_of_text
from eavewell.faults import BadSite
from eavewell.files.site.fields import district_fields, fields
from eavewell.files.site.parts import Part

MORE = """
finish = "metal"
people = 2
unit = "mm"
rule = "ybs"
show = "metric"
usual = "rationed"
"""
EVERY = [one for known in district_fields().values() for one in known.values()]


def test_every_field_is_read_and_every_field_read_is_in_the_table(monkeypatch):
    read, plain = set(), Part.__getitem__

    def noting(part, name):
        read.add((part.section, name))
        return plain(part, name)

    monkeypatch.setattr(Part, "__getitem__", noting)
    snow = 'kept = 0.95 }]\nsnow = { catch = "80 %" }'
    found = district_of_text(MORE + SETTINGS.replace("kept = 0.95 }]", snow))
    ours = {(section, name) for section, name in read if section.startswith("district")}
    assert ours == {(one.section, one.name) for one in EVERY if one.section != "district.roof"}
    assert (found.finish, found.people, found.unit, found.rule) == ("metal", 2.0, "mm", "ybs")
    assert (found.usual, found.show) == ("rationed", "metric")
    assert found.roof.snow.catch_share == 0.8
    assert found.sizes_l == tuple(sorted(found.sizes_l))


@pytest.mark.parametrize("field", EVERY, ids=lambda one: f"{one.section} {one.name}")
def test_a_row_is_whole(field):
    known = {**fields(), **district_fields()}
    assert field.label
    assert field.meaning.endswith(".")
    assert not field.inner or field.inner == "goals" or field.inner in known


def test_a_use_for_each_person_is_written_for_one():
    found = district_of_text(SETTINGS)
    household, both, _ = found.sets
    assert household.each == {"indoor"}
    assert household.uses[0].wants[0].count == 1.0
    assert both.each == {"house"}
    assert {use.draws_from for one in found.sets for use in one.uses} == {("tank",)}


def test_a_use_that_tells_its_people_keeps_them():
    text = SETTINGS.replace('each = "20 gal/day"', 'each = "20 gal/day"\npeople = 4', 1)
    assert district_of_text(text).sets[0].each == frozenset()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"2,500 gal"', '"2,500"', "sizes"),
        ('"2,500 gal"', '"0 gal"', "holds nothing"),
        ('name = "rationed"', 'name = "household"', "used twice"),
        ('name = "Quailwater valley"', 'usual = "x"', "there is no use set 'x'"),
        ('depth = "0.5 mm"', 'volume = "10 gal"', "give it by depth"),
        ('depth = "0.5 mm"', 'depth = "0.5 mm", bleed = "1 gal/h"', "without a bleed"),
        ('fallback = "mains"', 'fallback = "hauled"', "without hauled water"),
        ("{ days_met = 0.6 }", "{ loads_in_worst_year = 2 }", "without hauled water"),
        ("{ indoor = { days_met", "{ outdoors = { days_met", "there is no use 'outdoors'"),
        ('each = "12 gal/day"', 'each = "12 gal/day"\nwashing = []', "a use of its own"),
        ('each = "12 gal/day"', 'each = "12 gal/day"\ndraws_from = ["x"]', "leave draws_from out"),
        ('reserve = { keep = "10 %"', 'reserve = { height = "1 ft"', "has no heights"),
        ('name = "house"', 'name = "garden"', "the name is used twice"),
        ("[roof]", "[roof]\neave = '9 ft'", "'eave' is not a field here"),
        ("[roof]", "color = 1\n[roof]", "'color' is not a field here"),
        ('price = "$3 per', 'price = "3 EUR per', "write every amount in one currency"),
    ],
)
def test_every_fault_is_told_with_its_line(old, new, says):
    assert old in SETTINGS
    with pytest.raises(BadSite) as refused:
        district_of_text(SETTINGS.replace(old, new, 1), file="district.toml")
    told = [fault for fault in refused.value.faults if says.lower() in str(fault).lower()]
    assert told, refused.value
    assert told[0].line


def test_what_is_no_district_is_refused():
    for text in ("", "name =", "name = 'x'", "set = 3", "set = [3]", "[[set]]\nuse = [1]"):
        with pytest.raises(BadSite):
            district_of_text(text)
