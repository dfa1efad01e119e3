"""Gutters, pipes, lines, fittings, storms and ground as a site file tells them; its faults."""

import math

import pytest

from eavewell.faults import BadSite
from eavewell.files.site.new_site import starter_text
from eavewell.files.site.reader import site_of_text
from eavewell.files.site.slope import read_slope
from eavewell.site.gutter import Downspout

HEAD = """
name = "made up"
[rain]
climate = "dry-uplands"
[[use]]
name = "garden"
class = "outdoor"
draws_from = ["main"]
people = 1
each = "5 gal/day"
"""
ROOF = """
[[roof]]
name = "shed"
area = "500 ft2"
finish = "metal"
drains_to = "main"
"""
TANK = """
[[tank]]
name = "main"
diameter = "4 ft"
height = "5 ft"
"""
PIPE = """
[[pipe]]
name = "down"
carries = ["shed"]
to = "main"
size = "4 in"
length = "30 ft"
"""
LINE = """
[[line]]
name = "yard"
from = "main"
size = "1 in"
length = "50 ft"
"""
RISING = """
[line.own_pump]
name = "x"
kind = "jet"
curve = [["0 L/s", "1 m"], ["1 L/s", "2 m"]]
"""
CLEARING = """
[[line.in_line]]
name = "f"
kind = "filter"
flow = "1 L/s"
clean = "2 psi"
dirty = "1 psi"
"""


def read(*more, roof=ROOF, tank=TANK):
    return site_of_text(HEAD + roof + tank + "".join(more))


def faults(*more, roof=ROOF, tank=TANK):
    with pytest.raises(BadSite) as caught:
        read(*more, roof=roof, tank=tank)
    return " ".join(str(fault) for fault in caught.value.faults)


def test_a_gutter_with_a_rectangular_downspout():
    gutter = """
[[roof.gutter]]
name = "south"
shape = "ogee"
width = "5 in"
depth = "4 in"
length = "25 ft"
fall = "1/16 in/ft"
spout_width = "4 in"
spout_depth = "3 in"
into = "4 in"
spouts = 2
spills_on = "door"
"""
    (roof,) = read(roof=ROOF + gutter).roofs
    (run,) = roof.gutters
    assert (run.width_mm, run.depth_mm) == pytest.approx((5 * 25.4, 4 * 25.4))
    assert run.fall == pytest.approx(1 / 16 / 12)
    assert run.length_m == pytest.approx(25 * 0.3048)
    four, three = (pytest.approx(inches * 25.4) for inches in (4, 3))
    assert run.downspout == Downspout(None, four, three, None, four)
    assert (run.spouts, run.spills_on, run.plan_area_m2) == (2, "door", None)


@pytest.mark.parametrize(
    ("slope", "pitch"),
    [
        ("4 in 12", 4 / 12),
        ("1:3", 1 / 3),
        ("18 deg", math.tan(math.radians(18))),
        ("3/12", 3 / 12),
        ("6 in 12 in", 0.5),
        ("45\u00b0", 1.0),
        ("0 in 12", 0.0),
    ],
)
def test_a_slope_in_words(slope, pitch):
    assert read_slope(slope) == pytest.approx(pitch)


@pytest.mark.parametrize(
    ("slope", "says"),
    [
        ("steep", "'steep' is not a slope: write rise in run, such as '4 in 12'"),
        ("4 in 0", "is not a slope"),
        ("1.2.3 in 12", "is not a slope"),
        ("86 deg", "is too steep: at most 85 deg"),
        ("120 deg", "is too steep"),
        ("999 in 1", "is too steep"),
    ],
)
def test_what_is_no_slope_is_refused_at_its_field(slope, says):
    text = starter_text("barrels").replace('slope = "6 in 12"', f'slope = "{slope}"')
    with pytest.raises(BadSite) as refused:
        site_of_text(text)
    (fault,) = refused.value.faults
    assert fault.address == ("roof", 0, "slope")
    assert says in fault.says


def test_a_pipe_by_its_size_or_by_its_bore():
    (sold,) = read(PIPE).runs
    assert sold.pipe.bore_mm == pytest.approx(4.026 * 25.4, abs=0.01)
    (measured,) = read(PIPE.replace('size = "4 in"', 'bore = "95 mm"')).runs
    assert measured.pipe.bore_mm == 95
    assert (measured.carries, measured.to, measured.held_full) == (("shed",), "main", False)


def test_a_line_with_what_stands_on_it():
    (line,) = read(
        LINE,
        """
cut_in = "30 psi"
cut_out = "50 psi"
pressure_tank = { size = "20 gal", precharge = "28 psi" }
in_line = [{ name = "sediment", kind = "filter", flow = "10 gal/min", clean = "2 psi" }]
outlets = [{ name = "tap", fixture = "hose", level = "3 ft", at = "20 ft" }]
[line.own_pump]
name = "ours"
kind = "jet"
curve = [["0 gal/min", "120 ft"], ["10 gal/min", "80 ft"]]
""",
    ).lines
    assert line.cut_in_m == pytest.approx(30 * 0.70307, rel=1e-4)  # 1 psi = 0.70307 m of water
    assert line.pressure_tank is not None
    assert line.pump is not None
    assert line.pump.shut_off_m == pytest.approx(120 * 0.3048)
    assert line.in_line[0].dirty_m == line.in_line[0].clean_m == pytest.approx(2 * 0.70307, 1e-4)
    assert line.outlets[0].at_m == pytest.approx(20 * 0.3048)


def test_storms_and_ground():
    site = read(
        """
[storm]
donor = "five-minutes.csv"
donor_name = "the next valley"
manure = true
rules = "IPC 2018"
[ground]
area = "1 acre"
soil_group = "C"
low_spots = [{ name = "by the door", area = "200 ft2", receives = ["shed"] }]
"""
    )
    assert (site.storm.donor, site.storm.manure, site.storm.city) == ("five-minutes.csv", True, "")
    assert site.storm.rules == "IPC 2018"
    assert site.ground.area_m2 == pytest.approx(4046.856, abs=0.01)
    assert site.ground.low_spots[0].receives == ("shed",)
    assert site.ground.floor_m is None


def test_the_fittings_of_a_tank_and_what_it_stands_on():
    tank = (
        TANK
        + """
count = 2
floors = ["0 ft", "1 in"]
overflow_pipe = { size = "4 in", length = "10 ft", screened = true, away = "12 ft" }
link = { size = "2 in", length = "3 ft", valves = true }
stands_on = { kind = "crushed rock", edge = "2 ft", soil = "clay" }
burial = { cover = "1 ft", groundwater = "-2 ft" }
empty_weight = "350 lb"
"""
    )
    (one,) = read(tank=tank).tanks
    assert one.fittings.bases_m == (0.0, pytest.approx(0.0254))
    assert one.fittings.overflow.screened
    assert one.fittings.overflow.away_m == pytest.approx(12 * 0.3048)
    assert one.fittings.link.valves is True
    assert one.fittings.link.flexible is None
    assert one.stands_on.edge_m == pytest.approx(2 * 0.3048)
    assert one.burial.groundwater_m == pytest.approx(-2 * 0.3048)
    assert one.empty_kg == pytest.approx(350 * 0.45359237)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (PIPE.replace('"shed"', '"barn"'), "no roof 'barn'"),
        (PIPE.replace('to = "main"', 'to = "maine"'), "no tank or pipe 'maine'"),
        (PIPE.replace('to = "main"', 'to = "down"'), "circle"),
        (PIPE.replace('length = "30 ft"', 'length = "0 ft"'), "too small"),
        (PIPE + 'bore = "4 in"', "keep one of them"),
        (PIPE.replace('size = "4 in"\n', ""), "One of size, bore is needed"),
        (PIPE + 'held_full = true\nfall = "1 %"', "held full has no fall"),
        (PIPE + 'start = "0 ft"\nlow = "1 ft"', "stands above the level where it starts"),
        (PIPE + 'fittings = { "knee" = 1 }', "no fitting 'knee'"),
        (PIPE + 'fittings = { "90 elbow" = 1.5 }', "no number of fittings"),
        (LINE.replace('"main"', '"cellar"'), "no tank 'cellar'"),
        (LINE + 'cut_in = "50 psi"\ncut_out = "30 psi"', "would never rest"),
        (LINE + 'outlets = [{ name = "t", fixture = "hose", at = "90 ft" }]', "beyond the end"),
        (LINE + 'troughs = [{ name = "t", volume = "9 gal", waters = "cows" }]', "no use 'cows'"),
        (LINE + 'pump = "a strong one"', "'a strong one' is not known"),
        (
            LINE + RISING,
            "the flow rises and the head falls",
        ),
        (
            LINE + CLEARING,
            "loses less when due",
        ),
        ('[storm]\ntable = "t.csv"\ncity = "Miami, FL"', "keep the table"),
        ("[ground]\nlow_spots = 3", "must be a list"),
    ],
)
def test_what_cannot_be_true_is_a_sentence(more, says):
    assert says in faults(more)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ('count = 3\nfloors = ["0 ft"]', "1 floors are given for 3 tanks"),
        ('overflow_pipe = { weir = "1 ft", size = "4 in" }', "take size and bore out"),
        ('overflow = "6 ft"', "above the rim"),
    ],
)
def test_a_tank_that_cannot_be_is_a_sentence(more, says):
    assert says in faults(tank=TANK + more)


def test_a_downspout_is_round_or_rectangular():
    gutter = '[[roof.gutter]]\nname = "g"\nshape = "half-round"\nwidth = "5 in"\nlength = "9 ft"\n'
    both = gutter + 'spout_bore = "3 in"\nspout_width = "3 in"\nspout_depth = "3 in"\n'
    half = gutter + 'spout_width = "3 in"\n'
    flat = gutter.replace("half-round", "ogee")
    assert "round or rectangular" in faults(roof=ROOF + both)
    assert "needs spout_width and spout_depth" in faults(roof=ROOF + half)
    assert "needs its depth" in faults(roof=ROOF + flat)
