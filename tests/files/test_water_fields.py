"""What a site file tells of the stored water and of the roof that it ran over; bad text."""

from datetime import date

import pytest

from eavewell.faults import BadSite
from eavewell.files.site.reader import site_of_text
from eavewell.site.surface import Surface
from eavewell.site.water import Water, WaterTest

HEAD = """
name = "made up"
[rain]
climate = "dry-uplands"
[[use]]
name = "house"
class = "drinking"
draws_from = ["main"]
people = 1
each = "50 gal/day"
spray = true
edible = false
[[tank]]
name = "main"
diameter = "4 ft"
height = "5 ft"
calmed_inlet = true
floating_intake = false
lid_locked = true
[[roof]]
name = "shed"
area = "500 ft2"
finish = "metal"
drains_to = "main"
"""
ROOF = """
flashing = "lead"
paint = "for drinking water"
treated_timber = false
trees = "few"
birds = "many"
flue = true
panels = true
cleared = "letter of the maker, 2026"
"""
WATER = """
[water]
ph = 5.8
coldest = "41 F"
warmest = "77 F"
transmittance = "82 %"
turbidity = "0.8 NTU"
iron = "100 ug/L"
hardness = "12 mg/L"
"""
TEST = """
[[water.tests]]
of = "E. coli"
found = "< 1 /100 mL"
on = 2026-03-02
tap = "kitchen"
by = "a certified laboratory"
"""


def read(*parts):
    return site_of_text(HEAD + "".join(parts))


def faults(*parts):
    text = HEAD + "".join(parts)
    with pytest.raises(BadSite) as caught:
        site_of_text(text, file="site.toml")
    lines = text.splitlines()
    return [(one.says, lines[one.line - 1] if one.line else "") for one in caught.value.faults]


def the(*parts):
    (fault,) = faults(*parts)
    return fault


def changed(part, old, new):
    assert part.count(old) == 1
    return part.replace(old, new)


def test_good_text_gives_the_nouns():
    site = read(ROOF, WATER, TEST)
    test = WaterTest(
        "E. coli", 1.0, date(2026, 3, 2), True, "kitchen", laboratory="a certified laboratory"
    )
    assert site.water == Water(
        ph=5.8,
        coldest_c=pytest.approx(5.0),
        warmest_c=pytest.approx(25.0),
        transmittance=0.82,
        turbidity_ntu=0.8,
        iron_mg_l=pytest.approx(0.1),
        hardness_mg_l=12.0,
        tests=(test,),
    )
    assert site.roofs[0].surface == Surface(
        flashing="lead",
        paint="for drinking water",
        treated_timber=False,
        trees="few",
        birds="many",
        flue=True,
        panels=True,
        cleared="letter of the maker, 2026",
    )
    (use,), (tank,) = site.uses, site.tanks
    assert (use.spray, use.edible, use.dairy) == (True, False, None)
    fittings = tank.fittings
    assert (fittings.calmed_inlet, fittings.floating_intake, fittings.lid_locked) == (
        True,
        False,
        True,
    )


def test_left_out_is_unknown():
    site = read()
    assert site.water == Water()
    assert site.roofs[0].surface == Surface()


@pytest.mark.parametrize(
    ("of", "written", "value", "below"),
    [
        ("E. coli", '"absent"', 0.0, False),
        ("E. coli", '"not detected"', 0.0, False),
        ("E. coli", '"present"', 1.0, False),
        ("E. coli", '"14 /100 mL"', 14.0, False),
        ("total coliform", '"<2 /100 mL"', 2.0, True),
        ("pH", "6.9", 6.9, False),
        ("pH", '"6.9"', 6.9, False),
        ("lead", '"4 ug/L"', 0.004, False),
        ("lead", '"< 0.001 mg/L"', 0.001, True),
        ("turbidity", '"0.3 NTU"', 0.3, False),
        ("transmittance", '"88 %"', 0.88, False),
    ],
)
def test_a_result_as_laboratories_write_it(of, written, value, below):
    test = changed(changed(TEST, '"E. coli"', f'"{of}"'), '"< 1 /100 mL"', written)
    (found,) = read(WATER, test).water.tests
    assert (found.value, found.below) == (pytest.approx(value), below)


@pytest.mark.parametrize(
    ("part", "old", "new", "says"),
    [
        (WATER, "5.8", "15", "ph"),
        (WATER, "5.8", '"sour"', "ph"),
        (WATER, '"41 F"', '"41"', "has no unit"),
        (WATER, '"41 F"', '"80 F"', "coldest is above warmest"),
        (WATER, '"82 %"', '"182 %"', "transmittance"),
        (WATER, '"82 %"', '"82 mg/L"', "transmittance"),
        (WATER, '"0.8 NTU"', '"-0.8 NTU"', "turbidity"),
        (WATER, '"100 ug/L"', '"100 ug"', "iron"),
        (WATER, '"12 mg/L"', '"12 grains"', "hardness"),
        (TEST, '"E. coli"', '"E. colli"', "E. coli"),
        (TEST, '"< 1 /100 mL"', '"< 1"', "found"),
        (TEST, '"< 1 /100 mL"', '"clear"', "found"),
        (TEST, '"< 1 /100 mL"', '"-1 /100 mL"', "found"),
        (TEST, '"< 1 /100 mL"', '"1 mg/L"', "found"),
        (TEST, "2026-03-02", '"in spring"', "on"),
        (ROOF, '"lead"', '"leed"', "lead"),
        (ROOF, '"for drinking water"', '"white"', "paint"),
        (ROOF, '"few"', '"some"', "trees"),
        (ROOF, "flue = true", 'flue = "near"', "flue"),
    ],
)
def test_a_bad_value_is_one_sentence_with_its_line(part, old, new, says):
    bad = changed(part, old, new)
    parts = [bad] if part is ROOF else [bad if one is part else one for one in (WATER, TEST)]
    sentence, line = the(*parts)
    assert says in sentence.replace("Coldest", "coldest")
    assert sentence.endswith((".", "?"))
    assert new in line


@pytest.mark.parametrize("found", ["15", '"nan"', '"-1"', '"< 15"', '"acid"', '"6.9 mg/L"'])
def test_a_ph_that_cannot_be(found):
    test = changed(changed(TEST, '"E. coli"', '"pH"'), '"< 1 /100 mL"', found)
    sentence, line = the(WATER, test)
    assert "is no pH" in sentence
    assert line.startswith("found")


def test_all_faults_come_at_once():
    found = faults(
        changed(ROOF, '"lead"', '"tin"'),
        changed(WATER, "5.8", "15"),
        changed(TEST, '"< 1 /100 mL"', '"dirty"'),
        changed(TEST, '"E. coli"', '"luck"'),
    )
    assert [line.split(" = ")[0] for _, line in found] == ["flashing", "ph", "found", "of"]


def test_results_of_which_half_is_wrong_keep_the_other_half():
    """Every wrong result is told, whichever stands first."""
    bad = changed(TEST, '"< 1 /100 mL"', '"dirty"')
    found = faults(WATER, bad, TEST, bad)
    assert len(found) == 2


def test_the_latest_test_tells_what_the_file_does_not_state():
    tests = "".join(
        changed(changed(changed(TEST, '"E. coli"', f'"{of}"'), '"< 1 /100 mL"', found), "-02", day)
        for of, found, day in (
            ("transmittance", '"78 %"', "-20"),
            ("transmittance", '"88 %"', "-10"),
            ("pH", "6.1", "-10"),
            ("iron", '"< 0.05 mg/L"', "-10"),
            ("hardness", '"14 mg/L"', "-10"),
            ("turbidity", '"0.4 NTU"', "-10"),
        )
    )
    water = read("\n[water]\n", tests).water
    assert (water.transmittance, water.ph, water.iron_mg_l) == (0.78, 6.1, None)
    assert (water.hardness_mg_l, water.turbidity_ntu) == (14.0, 0.4)
    stated = read(WATER, tests).water
    assert (stated.transmittance, stated.ph) == (0.82, 5.8)
