"""Reading a site file: what it says becomes a site, what is wrong becomes sentences with lines."""

from dataclasses import replace
from datetime import date
from importlib.resources import files

import pytest

from eavewell.faults import BadSite
from eavewell.files.site.new_site import STARTERS, starter_text
from eavewell.files.site.reader import read_site, site_of_text
from eavewell.site.reserve import Reserve
from eavewell.site.tank_shape import UprightCylinder
from eavewell.site.want import Household, People, Plants

HOUSE = starter_text("whole-house")
FT, GAL = 0.3048, 3.785411784


def faults_of(text):
    with pytest.raises(BadSite) as caught:
        site_of_text(text, file="site.toml")
    return caught.value.faults


def line_of(text, part):
    return text[: text.index(part)].count("\n") + 1


def changed(*changes, text=HOUSE):
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return text


@pytest.mark.parametrize("like", STARTERS)
def test_every_starter_reads(like):
    site = site_of_text(starter_text(like))
    assert site.roofs
    assert site.tanks
    assert {goal.use for goal in site.goals} == {use.name for use in site.uses}


def test_what_the_whole_house_says():
    site = site_of_text(HOUSE, folder="somewhere")
    main, header = site.tank("main"), site.tank("header")
    assert (site.name, site.rule, site.folder) == ("Quailwater hill house", "yas", "somewhere")
    assert (site.start_day.month, site.start_day.day) == (10, 1)
    assert site.place.elevation_m == pytest.approx(1480 * FT)
    assert site.roofs[0].plan_area_m2 == pytest.approx(62 * 44 * FT**2)
    assert main.shape == UprightCylinder(8 * FT, 7.5 * FT)
    assert main.count == 4
    assert header.overflow_to == "main"
    assert site.lifts[0].source_start_l == pytest.approx(4500 * GAL)
    assert site.hauling[0].lead_days == 3
    household = site.use("household")
    assert isinstance(household.wants[0], People)
    assert household.wants[1].calendar.seasons == (((12, 20), (1, 2)),)
    assert household.stages[1].share == pytest.approx(0.6)
    assert isinstance(site.use("garden").wants[0], Plants)


def test_guests_on_exact_dates():
    dates = "dates = [[2024-12-20, 2025-01-02]]"
    site = site_of_text(changed(('seasons = [["12-20", "01-02"]]', dates)))
    spans = site.use("household").wants[1].calendar.spans
    assert spans == ((date(2024, 12, 20), date(2025, 1, 2)),)


def test_a_reserve_held_by_an_outlet_has_its_volume_from_the_tank():
    reserve = site_of_text(HOUSE).tank("main").fire_reserve
    # from the outlet at 4 in to the one at 1 ft: 8 in of four tanks of 8 ft
    cubic_feet = 4 * 3.141592653589793 / 4 * 8**2 * (8 / 12)
    assert reserve.volume_l == pytest.approx(cubic_feet * 28.316846592)
    assert reserve.held_by == "outlet height"


def test_corners_give_the_area_they_enclose():
    # the L is 36 x 20 plus 22 x 10
    site = site_of_text(starter_text("part-year"))
    assert site.roofs[0].plan_area_m2 == pytest.approx((36 * 20 + 22 * 10) * FT**2)


def test_fixtures_take_what_the_table_does_not_tell_from_the_file():
    wants = site_of_text(starter_text("part-year")).use("cabin").wants
    assert isinstance(wants[0], Household)
    shower = wants[0].fixtures[1]
    assert shower.times_per_person_day * shower.each_l == pytest.approx(5 * 1.8 * GAL)


def test_a_fixture_of_the_table_needs_its_name_alone():
    text = changed(
        ('{ name = "toilet", times = 4, each = "1.28 gal" }', '{ name = "toilet" }'),
        text=starter_text("part-year"),
    )
    toilet = site_of_text(text).use("cabin").wants[0].fixtures[0]
    # the manual's 1.6 gal flush, six times a day
    assert toilet.times_per_person_day == 6.0
    assert toilet.each_l == pytest.approx(1.6 * GAL, rel=1e-4)


def test_unknown_stays_unknown():
    text = changed(('eave = "9 ft 6 in" ', ""), ('base = "0 ft"\n', ""), ("latitude = 30.9", ""))
    site = site_of_text(text)
    assert site.roofs[0].eave_m is None
    assert site.tank("main").base_m is None
    assert site.place.latitude is None


def test_the_slope_adds_no_catch():
    flat = site_of_text(changed(('slope = "4 in 12"', "")))
    pitched = site_of_text(HOUSE).roofs
    assert pitched[0].pitch == 4 / 12
    assert flat.roofs == (replace(pitched[0], pitch=None), *pitched[1:])


def test_goals_start_from_common_practice_where_a_use_has_none():
    text = "\n".join(
        line
        for line in HOUSE.splitlines()
        if not line.startswith(("[goal]", "household =", "garden ="))
    )
    goals = {goal.use: goal for goal in site_of_text(text).goals}
    assert (goals["household"].measure, goals["household"].target) == ("dry_days_in_worst_spell", 0)
    assert (goals["garden"].measure, goals["garden"].target) == ("supplied_share", 0.7)
    assert not goals["garden"].stated


def test_a_volume_or_a_share_is_kept_as_it_was_written():
    keep = 'fire_reserve = { keep = "25 %", held_by = "valve" }'
    text = changed(('fire_reserve = { height = "1 ft", held_by = "outlet height" }', keep))
    assert site_of_text(text).tank("main").fire_reserve == Reserve(share=0.25, held_by="valve")


ONE_FAULT = [
    ("latitude = 30.9 ", "latitude = 200 ", "too large"),
    ("latitude = 30.9 ", 'latitude = "north" ', "bare number"),
    ('each = "28 gal/day"', "each = 28", "no unit"),
    ('each = "28 gal/day"', 'each = "28 gal"', "a volume; a flow is needed"),
    ("people = 3", "people = nan", "count with"),
    ("people = 3", "people = -3", "too small"),
    ('area = "150 ft2"', 'area = "-150 ft2"', "never below zero"),
    ('finish = "painted steel"', 'finish = "paintd steel"', "did you mean 'painted steel'"),
    ('drains_to = "main"', 'drains_to = "mian"', "did you mean 'main'"),
    ('draws_from = ["header"]', 'draws_from = ["headr"]', "did you mean 'header'"),
    ('to = "header"', 'to = "heder"', "did you mean 'header'"),
    ('overflow = "6 ft 10 in"', 'overflow = "9 ft"', "above the rim"),
    ('outlet = "4 in"', 'outlet = "7 ft 2 in"', "not below the overflow"),
    ('overflow_to = "swale"', 'overflow_to = "header"', "main to header to main"),
    ('overflow_to = "swale"', 'overflow_to = "main"', "main to main"),
    ('overflow_to = "swale"', 'overflow_to = "heador"', "looks like 'header'"),
    ('name = "workshop"', 'name = "house"', "used twice"),
    ("priority = 1", "prioritty = 1", "did you mean 'priority'"),
    ('class = "drinking"', 'class = "drink"', "did you mean 'drinking'"),
    ('slope = "4 in 12"', 'area = "2,700 ft2"', "plan and area are given"),
    ('plan = "62 ft x 44 ft"', "", "One of plan, area, corners, plane"),
    ("garden = {", "gardn = {", "no use 'gardn'"),
    ('share = "50 %"', 'share = "150 %"', "more than the whole"),
    ('share = "50 %"', "share = -0.5", "negative"),
    ('climate = "dry-uplands"', 'climate = "dry-upland"', "did you mean 'dry-uplands'"),
    ('climate = "dry-uplands"', 'climate = "dry-uplands"\nrecord = "a.csv"', "keep one"),
    ('climate = "dry-uplands"', 'climate = "dry-uplands"\nsite_factor = 1.1', "factor_from"),
    ('rule = "yas"', 'rule = "yas', "opened and not closed"),
    ('rule = "yas"', "rule = 1\nrule = 2", "given twice"),
    ("count = 4", "count = 1.5", "whole number"),
    ("count = 4", "count = true", "bare number"),
    ('held_by = "timer"', 'held_by = "hope"', "must be one of"),
    ("people = 3\n", "", "needs people"),
    ('each = "28 gal/day"', "", "One of each, fixtures"),
    ('weekdays = ["Mon"]', 'weekdays = ["Mo"]', "not a weekday"),
    ('[["03-01", "11-15"]]', '[["03-01", "02-30"]]', "not a month and day"),
    ('seasons = [["12-20", "01-02"]]', "dates = [[2025-01-02, 2024-12-20]]", "runs backwards"),
    ('kind = "fruit trees"', 'kind = "average plants"', "kinds have a usual one"),
    ('soil = "loam"', 'soil = "loam", soil_water = "2 in/ft"', "keep one"),
    ('height = "7 ft 6 in"\n', "", "Diameter alone makes no shape"),
]


@pytest.mark.parametrize(("old", "new", "reason"), ONE_FAULT)
def test_a_fault_is_a_sentence_on_its_line(old, new, reason):
    text = changed((old, new))
    first, last = line_of(HOUSE, old), line_of(HOUSE, old) + new.count("\n")
    faults = faults_of(text)
    assert len({fault.says for fault in faults}) <= 2
    with pytest.raises(BadSite, match=reason):
        site_of_text(text)
    if new:
        assert any(first <= fault.line <= last for fault in faults), faults


def test_all_faults_at_once_in_the_order_of_the_file():
    text = changed(
        ("latitude = 30.9 ", "latitude = 200 "),
        ('finish = "painted steel"', 'finish = "straw hat"'),
        ('overflow = "6 ft 10 in"', 'overflow = "9 ft"'),
        ('each = "28 gal/day"', "each = 28"),
    )
    lines = [fault.line for fault in faults_of(text)]
    assert len(lines) == 4
    assert lines == sorted(lines)


def test_a_fault_names_the_thing():
    (fault,) = faults_of(changed(('finish = "painted steel"', 'finish = "paintd steel"')))
    assert fault.where == "roof 'house'"
    assert fault.file == "site.toml"


@pytest.mark.parametrize("section", ["roof", "tank", "use"])
def test_a_site_needs_one_of_each(section):
    text = 'name = "bare"\nrain = { climate = "dry-uplands" }\n'
    assert any(f"field {section} is missing" in fault.says for fault in faults_of(text))
    assert any(f"no {section}" in fault.says for fault in faults_of(f"{section} = []\n{text}"))


ROOF = (
    'name = "x"\nrain = {{ climate = "dry-uplands" }}\n[[roof]]\nname = "r"\nfinish = "metal"\n{}\n'
)
REST = '[[tank]]\nname = "t"\neach = "1 kL"\n[[use]]\nname = "u"\nclass = "outdoor"\n'
REST += 'draws_from = ["t"]\npeople = 1\neach = "1 L/day"\n'


def with_roof(area):
    return ROOF.format(area) + REST


@pytest.mark.parametrize(
    ("area", "reason"),
    [
        ("corners = [[0, 0], [10, 10], [10, 0], [0, 10]]\ncorners_unit = 'm'", "crosses itself"),
        ("corners = [[0, 0], [10, 10]]\ncorners_unit = 'm'", "enclose nothing"),
        ("corners = [[0, 0], [5, 5], [10, 10]]\ncorners_unit = 'm'", "no such roof"),
        ("corners = [[0, 0], [10, 0], [10, 10]]", "need a unit"),
        ("corners = [[0, 0], [10], [10, 10]]\ncorners_unit = 'm'", "list of pairs"),
        ("plan = '62 x 44 ft'", "unit on both sides"),
        ("area = '0 m2'", "too small"),
        ("plane = [{ name = 'a' }]", "One of plan, area, corners"),
        ("area = '5 m2'\nfirst_flush = { depth = '1 mm', volume = '9 L' }", "keep one"),
        ("area = '5 m2'\nsnow = { catch = '50 %', catch_low = '60 %' }", "must rise"),
    ],
)
def test_roof_faults(area, reason):
    with pytest.raises(BadSite, match=reason):
        site_of_text(with_roof(area))


def test_corners_in_metres_and_several_planes():
    triangle = site_of_text(with_roof("corners = [[0, 0], [6, 0], [0, 4]]\ncorners_unit = 'm'"))
    assert triangle.roofs[0].plan_area_m2 == pytest.approx(12.0)
    planes = "plane = [{ plan = '5 m x 4 m' }, { area = '3 m2' }]"
    assert site_of_text(with_roof(planes)).roofs[0].plan_area_m2 == pytest.approx(23.0)


def with_tank(sizes):
    return with_roof("area = '50 m2'").replace('each = "1 kL"', sizes)


@pytest.mark.parametrize(
    ("sizes", "reason"),
    [
        ("", "no size"),
        ("shape = 'box'", "no size|needs its sizes"),
        ("diameter = '2 m'\nwidth = '2 m'", "make no shape"),
        ("shape = 'box'\ndiameter = '2 m'\nheight = '2 m'", "make no shape"),
        ("each = '100 gal'\ndead = '120 gal'", "nothing could be drawn"),
        ("each = '100 gal'\noutlet = '3 in'", "shape is unknown"),
        ("each = '100 gal'\noverflow = '3 ft'", "shape is unknown"),
        ("diameter = '2 m'\nheight = '2 m'\ncone = '3 m'", "higher than the whole tank"),
        ("table = [['0 m', '0 L'], ['1 m', '900 L'], ['2 m', '800 L']]", "both rise"),
        ("table = [['1 m', '10 L'], ['2 m', '800 L']]", "empty tank"),
        ("each = '1 kL'\nfire_reserve = { height = '1 m', held_by = 'float' }", "shape is known"),
        ("each = '1 kL'\nfire_reserve = { keep = '10 %' }", "held_by is missing"),
    ],
)
def test_tank_faults(sizes, reason):
    with pytest.raises(BadSite, match=reason):
        site_of_text(with_tank(sizes))


@pytest.mark.parametrize(
    ("sizes", "litres"),
    [
        ("diameter = '2 m'\nheight = '1 m'", 3141.592653589793),
        ("length = '3 m'\nwidth = '2 m'\nheight = '1 m'", 6000.0),
        ("diameter = '2 m'\nlength = '1 m'", 3141.592653589793),
        # a cone of a third of its cylinder, and a cylinder of 1 m above it
        ("diameter = '2 m'\nheight = '4 m'\ncone = '3 m'", 2 * 3141.592653589793),
        ("table = [['0 m', '0 L'], ['1 m', '400 L'], ['2 m', '900 L']]", 900.0),
        ("each = '5 m3'", 5000.0),
        ("count = 3\neach = '5 m3'", 15000.0),
    ],
)
def test_tank_shapes_are_told_from_their_sizes(sizes, litres):
    assert site_of_text(with_tank(sizes)).tank("t").rim_l == pytest.approx(litres)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "empty"),
        (b"  \n\n", "empty"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "not a text file"),
        (bytes(range(128, 256)), "not a text file"),
        (b'name = "a', "not closed"),
        (b"[[[[[[", "cannot be read"),
        (b"x = " + b"[" * 20_000, "cannot be read|brackets"),
        (b"x = " + b"1" * 5_000, "cannot be read"),
        (b"#" * 1_000_001, "too large"),
    ],
)
def test_what_is_not_a_site_file_is_a_sentence(tmp_path, data, reason):
    file = tmp_path / "site.toml"
    file.write_bytes(data)
    with pytest.raises(BadSite, match=reason):
        read_site(file)


@pytest.mark.parametrize("name", ["missing.toml", ".", "a\0b"])
def test_no_file_is_a_sentence(tmp_path, name):
    with pytest.raises(BadSite, match="no site file"):
        read_site(f"{tmp_path}/{name}")


def test_a_byte_order_mark_and_windows_line_ends_are_read(tmp_path):
    file = tmp_path / "site.toml"
    file.write_bytes(b"\xef\xbb\xbf" + HOUSE.replace("\n", "\r\n").encode())
    assert read_site(file).name == "Quailwater hill house"


def test_the_starters_ship_with_the_package():
    shipped = {file.name for file in files("eavewell.files.site").joinpath("starters").iterdir()}
    assert shipped == {f"{like}.toml" for like in STARTERS}


def test_two_taps_of_one_line_have_two_names():
    tap = '{ name = "tap", fixture = "bucket tap", level = "1 ft" }'
    line = '[[line]]\nname = "yard"\nfrom = "main"\nsize = "3/4 in"\nlength = "9 ft"\n'
    with pytest.raises(BadSite, match="used twice"):
        site_of_text(f"{HOUSE}\n{line}outlets = [{tap}, {tap}]\n")
    other = tap.replace('"tap"', '"other"')
    assert len(site_of_text(f"{HOUSE}\n{line}outlets = [{tap}, {other}]\n").lines[-1].outlets) == 2
