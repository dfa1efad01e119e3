"""Barriers as a site file tells them: good text becomes nouns, bad text sentences with lines."""

import pytest

from eavewell.faults import BadSite
from eavewell.files.site.reader import site_of_text
from eavewell.site.barrier import Cartridge, ContactTank, Dosing, Lamp
from eavewell.units import read

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
[[roof]]
name = "shed"
area = "500 ft2"
finish = "metal"
drains_to = "main"
[[tank]]
name = "main"
diameter = "4 ft"
height = "5 ft"
"""
LINE = """
[[line]]
name = "house"
from = "main"
size = "1 in"
length = "50 ft"
serves = ["house"]
"""
FINE = """
[[line.in_line]]
name = "fine"
kind = "filter"
flow = "10 gal/min"
clean = "2 psi"
passage = "5 micron"
rating = "absolute"
listed = "NSF/ANSI 53 cyst"
life = "90 days"
life_volume = "20,000 gal"
"""
LAMP = """
[[line.in_line]]
name = "lamp"
kind = "lamp"
flow = "10 gal/min"
clean = "1 psi"
most = "12 gal/min"
dose = "40 mJ/cm2"
document = "made-up report 7"
dose_flow = "10 gal/min"
dose_transmittance = "75 %"
at_end = true
listing = "class A"
shut_valve = true
sensor = true
power = "40 W"
life = "365 days"
"""
CHLORINE = """
[[line.in_line]]
name = "dose"
kind = "chlorine"
chlorine = "2 mg/L"
strength = "12.5 %"
stabilised = false
by_flow = true
"""
CONTACT = """
[[line.in_line]]
name = "wait"
kind = "contact tank"
holds = "240 gal"
baffle = 0.3
residual = "0.5 mg/L"
"""
GAL, GPM = read("1 gal", "volume"), read("1 gal/min", "flow")


def things(*parts):
    (line,) = site_of_text(HEAD + LINE + "".join(parts)).lines
    return line.in_line


def faults(*parts):
    text = HEAD + LINE + "".join(parts)
    with pytest.raises(BadSite) as caught:
        site_of_text(text, file="site.toml")
    lines = text.splitlines()
    return [
        (fault.says, lines[fault.line - 1] if fault.line else "") for fault in caught.value.faults
    ]


def the(*parts):
    (fault,) = faults(*parts)
    return fault


def changed(part, old, new):
    assert part.count(old) == 1
    return part.replace(old, new)


def test_good_text_gives_the_nouns():
    fine, dose, wait, lamp = things(FINE, CHLORINE, CONTACT, LAMP)
    assert fine.passage_mm == pytest.approx(0.005)
    assert fine.works.life_l == pytest.approx(20_000 * GAL)
    assert (fine.works.rating, fine.works.listed) == ("absolute", "NSF/ANSI 53 cyst")
    assert fine.works.life_days == 90
    assert dose.works == Dosing(2.0, 0.125, stabilised=False, by_flow=True)
    assert wait.works == ContactTank(pytest.approx(240 * GAL), 0.3, 0.5)
    assert lamp.most_l_s == pytest.approx(12 * GPM)
    assert lamp.works == Lamp(
        validated_mj_cm2=40.0,
        document="made-up report 7",
        validated_l_s=pytest.approx(10 * GPM),
        validated_transmittance=0.75,
        at_end=True,
        listing="class A",
        shut_valve=True,
        sensor=True,
        input_w=40.0,
        life_h=365 * 24,
    )


def test_bare_things_are_unknown():
    fine = '[[line.in_line]]\nname = "f"\nkind = "filter"\nflow = "1 L/s"\nclean = "1 psi"\n'
    lamp = '[[line.in_line]]\nname = "l"\nkind = "lamp"\nflow = "1 L/s"\nclean = "1 psi"\n'
    tank = '[[line.in_line]]\nname = "t"\nkind = "contact tank"\n'
    valve = '[[line.in_line]]\nname = "v"\nkind = "shut valve"\n'
    found = things(fine, lamp, tank, valve)
    assert [one.works for one in found] == [Cartridge(), Lamp(), ContactTank(), None]
    assert all(one.bypass is None for one in found)


@pytest.mark.parametrize("written", ["5 micron", "5 microns", "5 um", "0.005 mm"])
def test_five_micron_as_people_write_it(written):
    (fine,) = things(changed(FINE, "5 micron", written))
    assert fine.passage_mm == pytest.approx(0.005)


@pytest.mark.parametrize(
    ("part", "old", "new", "says"),
    [
        (FINE, '"5 micron"', '"5"', "has no unit"),
        (FINE, '"5 micron"', "5", "has no unit"),
        (FINE, '"5 micron"', '"5 mikron"', "the unit 'mikron' is not known"),
        (FINE, '"5 micron"', '"-5 micron"', "passage: '-5 micron'"),
        (FINE, '"5 micron"', '"0 micron"', "passage: '0 micron'"),
        (FINE, '"absolute"', '"exact"', "rating"),
        (FINE, '"90 days"', '"soon"', "life"),
        (FINE, '"20,000 gal"', '"20,000 psi"', "life_volume"),
        (LAMP, '"40 mJ/cm2"', '"40 W"', "dose: '40 W'"),
        (LAMP, '"40 mJ/cm2"', '"40"', "has no unit"),
        (LAMP, '"40 mJ/cm2"', '"-40 mJ/cm2"', "dose: '-40 mJ/cm2'"),
        (LAMP, '"class A"', '"class C"', "class C"),
        (LAMP, '"class A"', '"certified"', "certified"),
        (LAMP, '"75 %"', '"175 %"', "dose_transmittance"),
        (LAMP, "shut_valve = true", 'shut_valve = "perhaps"', "shut_valve"),
        (LAMP, 'document = "made-up report 7"\n', "", "dose without its document"),
        (CHLORINE, '"2 mg/L"', '"2 gal"', "chlorine: '2 gal'"),
        (CHLORINE, '"12.5 %"', '"12.5"', "strength"),
        (CONTACT, '"240 gal"', '"-240 gal"', "holds"),
        (CONTACT, '"240 gal"', '"240 ft"', "holds"),
        (CONTACT, "0.3", "0", "baffle"),
        (CONTACT, "0.3", "3", "baffle"),
        (CONTACT, '"0.5 mg/L"', '"300 mg/L"', "residual"),
    ],
)
def test_a_bad_value_is_one_sentence_with_its_line(part, old, new, says):
    sentence, line = the(changed(part, old, new))
    assert says in sentence
    assert sentence.endswith((".", "?"))
    assert line.startswith("dose = ") if not new else new in line


def test_an_unknown_kind_is_one_sentence():
    sentence, line = the(changed(LAMP, '"lamp"\nflow', '"sunlight"\nflow'))
    assert "'sunlight'" in sentence
    assert "lamp" in sentence
    assert "sunlight" in line


def test_a_missing_kind_is_one_sentence():
    sentence, _ = the(changed(LAMP, 'kind = "lamp"\n', ""))
    assert "kind is missing" in sentence


@pytest.mark.parametrize(
    ("part", "kind", "field", "owner"),
    [
        (LAMP, "filter", "dose", "lamp"),
        (FINE, "lamp", "rating", "filter"),
        (CHLORINE, "test point", "chlorine", "chlorine"),
        (CONTACT, "storage", "holds", "contact tank"),
    ],
)
def test_a_field_of_another_kind(part, kind, field, owner):
    old = part.split('kind = "')[1].split('"')[0]
    found = faults(changed(part, f'kind = "{old}"', f'kind = "{kind}"'))
    assert any(f"{field} belongs to a {owner}" in says for says, _ in found)
    assert any(f"not to a {kind}." in says for says, _ in found)
    assert all(f" {line.split(' = ')[0]} " in says for says, line in found if "belongs" in says)


@pytest.mark.parametrize("field", ['life = "90 days"', 'power = "40 W"'])
def test_what_a_kind_cannot_have_is_not_swallowed(field):
    point = f'[[line.in_line]]\nname = "tap"\nkind = "test point"\n{field}\n'
    sentence, line = the(point)
    assert f"{field.split(' ')[0]} belongs to" in sentence
    assert line == field


def test_chlorine_of_no_amount():
    sentence, _ = the(changed(CHLORINE, 'chlorine = "2 mg/L"\n', ""))
    assert "chlorine" in sentence


def test_all_faults_come_at_once():
    found = faults(
        changed(FINE, "5 micron", "5"),
        changed(CHLORINE, "2 mg/L", "2 gal"),
        changed(CONTACT, "240 gal", "-1 gal"),
        changed(LAMP, "class A", "class C"),
    )
    assert len(found) == 4
    assert [line.split(" = ")[0] for _, line in found] == [
        "passage",
        "chlorine",
        "holds",
        "listing",
    ]


def test_a_field_nobody_knows_is_asked_back():
    sentence, line = the(LAMP + 'dosage = "40 mJ/cm2"\n')
    assert "'dosage' is not a field here" in sentence
    assert line.startswith("dosage")


def test_where_the_pressure_tank_stands():
    tank = '[line.pressure_tank]\nsize = "20 gal"\nafter = "fine"\n'
    (line,) = site_of_text(HEAD + LINE + FINE + tank).lines
    assert line.pressure_tank.after == "fine"
    sentence, where = the(FINE, changed(tank, '"fine"', '"finer"'))
    assert "nothing in the line is called 'finer'" in sentence.lower()
    assert "finer" in where


def test_two_things_of_one_name():
    sentence, _ = the(FINE, FINE)
    assert "same name" in sentence


def test_serves_a_use_that_is_not_there():
    text = HEAD + changed(LINE, '["house"]', '["home"]') + FINE
    with pytest.raises(BadSite) as caught:
        site_of_text(text)
    assert any("home" in fault.says for fault in caught.value.faults)


def test_what_loses_pressure_loses_it_at_some_flow():
    store = '[[line.in_line]]\nname = "s"\nkind = "storage"\nclean = "1 psi"\n'
    sentence, line = the(store)
    assert "at what flow?" in sentence
    assert line.startswith("clean")
    assert things(store + 'flow = "1 L/s"\n')[0].clean_m > 0
    assert things(store.replace('clean = "1 psi"\n', ""))[0].clean_m == 0
    only_dirty = store.replace("clean =", "dirty =")
    assert "at what flow?" in the(only_dirty)[0]


def test_a_filter_without_its_flow_or_loss():
    for field in ("flow", "clean"):
        kept = "".join(row for row in FINE.splitlines(True) if not row.startswith(f"{field} ="))
        sentence, _ = the(kept)
        assert f"field {field} is missing" in sentence


def test_a_dirty_filter_that_loses_less_than_a_clean_one():
    sentence, line = the(FINE + 'dirty = "1 psi"\n')
    assert "loses less when due" in sentence
    assert line.startswith("dirty")
