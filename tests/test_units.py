"""Reading and printing sizes; pint is the outside reference for every factor."""

import doctest
import math
import re

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import eavewell.units
from eavewell.faults import BadQuantity
from eavewell.units import convert, quantities, read, show, units

# our name -> how pint writes the same unit; a missing row fails the test below
PINT = {
    "in": "inch",
    "mi": "mile",
    "m2": "m**2",
    "cm2": "cm**2",
    "ha": "hectare",
    "in2": "inch**2",
    "ft2": "ft**2",
    "yd2": "yard**2",
    "m3": "m**3",
    "gal": "gallon",
    "qt": "quart",
    "pt": "pint",
    "fl oz": "fluid_ounce",
    "imperial gal": "imperial_gallon",
    "ft3": "ft**3",
    "in3": "inch**3",
    "yd3": "yard**3",
    "CCF": "hectofoot*ft**2",
    "kgal": "kilogallon",
    "acre-ft": "acre_foot",
    "m of water": "m*g_0*kg/L",
    "ft of water": "ft*g_0*kg/L",
    "in of water": "inch*g_0*kg/L",
    "C": "degC",
    "F": "degF",
    "K": "kelvin",
    "%": "percent",
    "h": "hour",
    "mm/m": "mm/m",
    "in/ft": "inch/ft",
    "lb/ft2": "pound_force/ft**2",
    "mph": "mile/hour",
    "hp": "horsepower",
    "/100 mL": "1/dL",
    "NTU": "dimensionless",  # a reading of its own, not a quantity that converts
}
BASE = {
    "length": "m",
    "area": "m**2",
    "volume": "L",
    "flow": "L/s",
    "pressure": "m*g_0*kg/L",
    "temperature": "degC",
    "weight": "kg",
    "yield": "kg/day",
    "share": "dimensionless",
    "duration": "day",
    "intensity": "mm/hour",
    "soil water": "mm/m",
    "fall": "m/m",
    "power": "W",
    "ground pressure": "kPa",
    "speed": "m/s",
    "energy": "kWh",
    "dose": "mJ/cm**2",
    "concentration": "mg/L",
    "turbidity": "dimensionless",
    "germs": "1/dL",
}
registry = pint.UnitRegistry()


def in_pint(name):
    if name in PINT:
        return PINT[name]
    over, _, under = name.partition("/")
    return f"{PINT.get(over, over)}/({PINT.get(under, under)})" if under else over


@pytest.mark.parametrize("unit", units(), ids=lambda unit: f"{unit.dimension} {unit.name}")
def test_every_factor_agrees_with_pint(unit):
    # 1e-5 leaves room for the survey foot, which pint takes for acres
    rel = 1e-5 if "acre" in unit.name else 1e-12
    base = BASE[unit.dimension]
    for value in (1.0, 7.5):
        theirs = registry.Quantity(value, in_pint(unit.name)).to(base).magnitude
        ours = float(unit.factor) * value + float(unit.offset)
        assert ours == pytest.approx(theirs, rel=rel, abs=1e-12)


@pytest.mark.parametrize("unit", units(), ids=lambda unit: f"{unit.dimension} {unit.name}")
def test_every_alias_is_the_unit_it_stands_for(unit):
    quantity = next(q.name for q in quantities().values() if q.dimension == unit.dimension)
    expected = read(f"3 {unit.name}", quantity)
    for alias in unit.aliases:
        assert read(f"3 {alias}", quantity) == expected


# Arithmetic: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 gal = 3.785411784 L, all exact
READS = [
    ("1,500 ft2", "area", 1500 * 0.09290304),
    ("62 ft x 44 ft", "area", 62 * 44 * 0.09290304),
    ("62.5 ft by 44 ft", "area", 62.5 * 44 * 0.09290304),
    ("9 ft 6 in", "length", 9.5 * 0.3048),
    ("9' 6\"", "length", 9.5 * 0.3048),
    ("9 ft 6 1/2 in", "length", 114.5 * 0.0254),
    ("-3 ft 6 in", "level", -3.5 * 0.3048),
    ("1,480 ft", "level", 1480 * 0.3048),
    ("1/2 in", "bore", 12.7),
    ("1 1/2 in", "bore", 38.1),
    ("1\u00bd in", "bore", 38.1),
    ("0.6 in", "depth", 15.24),
    (".6 in", "depth", 15.24),
    ("3,000 gal", "volume", 3000 * 3.785411784),
    ("2.5 kL", "volume", 2500.0),
    ("10 m3", "volume", 10_000.0),
    ("10 m\u00b3", "volume", 10_000.0),
    ("4 imperial gal", "volume", 4 * 4.54609),
    ("1 acre-ft", "volume", 43_560 * 28.316846592),
    ("17 gal/day", "daily", 17 * 3.785411784),
    ("17 gallons per day", "daily", 17 * 3.785411784),
    ("35 gpm", "flow", 35 * 3.785411784 / 60),
    ("12 psi", "pressure", 12 * 6894.757293168361 / 9806.65),
    ("27 kPa", "pressure", 27_000 / 9806.65),
    ("75 F", "temperature", (75 - 32) / 1.8),
    ("1,100 lb", "weight", 1100 * 0.45359237),
    ("25 lb/day", "yield", 25 * 0.45359237),
    ("0.7", "share", 0.7),
    (0.7, "share", 0.7),
    ("70 %", "share", 0.7),
    ("70%", "share", 0.7),
    ("3 days", "duration", 3.0),
    ("36 hours", "duration", 1.5),
    ("1 h 30 min", "minutes", 90.0),
    ("4 in/h", "intensity", 101.6),
    ("2 in/ft", "soil_water", 1000 / 6),
]


@pytest.mark.parametrize(("text", "quantity", "expected"), READS)
def test_reads_what_people_write(text, quantity, expected):
    assert read(text, quantity) == pytest.approx(expected, rel=1e-12)


REFUSED = [
    ("10,5 m", "length", "more than one way"),
    ("1 000 L", "volume", "more than one way"),
    ("1.500,5 L", "volume", "more than one way"),
    ("1'000 L", "volume", "more than one way"),
    ("1,500,00 gal", "volume", "more than one way"),
    ("2.5.1 m", "length", "more than one way"),
    ("5", "length", "no unit"),
    (5, "length", "no unit"),
    ("9 ft 6", "length", "no unit"),
    ("ft 5", "length", "no number|number first"),
    ("-3 ft", "length", "never below zero"),
    ("-5 gal", "volume", "never below zero"),
    ("NaN", "length", "no number"),
    ("nan ft", "length", "no number"),
    (math.nan, "share", "no number"),
    ("inf m", "length", "no number"),
    ("1e999 m", "length", "not known"),
    ("", "length", "nothing is given"),
    ("   ", "length", "nothing is given"),
    (None, "length", "nothing is given"),
    (True, "length", "not text"),
    (["5 ft"], "length", "not text"),
    ("5 fet", "length", "did you mean 'feet'"),
    ("6 months", "duration", "the unit 'months' is not known; write"),
    ("5 Ml", "volume", "'mL' or 'ml' or 'ML'"),
    ("3 gal", "length", "a volume; a length is needed"),
    ("9 ft", "area", "a length; an area is needed"),
    ("62 x 44 ft", "area", "unit on both sides"),
    ("6 ft x 4 ft x 2 ft", "area", "3 sides"),
    ("6 in 9 ft", "length", "larger unit first"),
    ("9 ft 14 in", "length", "less than one of it"),
    ("9 ft -6 in", "length", "not known"),
    ("10\u00b2 m", "length", "not known"),
    ("1/0 in", "bore", "divides by nothing"),
    ("-500 F", "temperature", "colder"),
    ("70", "share", "more than the whole"),
    ("120 %", "share", "more than the whole"),
    ("1" * 16 + " m", "length", "more than one way"),
    ("9 ft " * 40, "length", "too long"),
]


@pytest.mark.parametrize(("text", "quantity", "reason"), REFUSED)
def test_refuses_with_a_sentence(text, quantity, reason):
    with pytest.raises(BadQuantity, match=reason) as caught:
        read(text, quantity)
    assert str(caught.value).endswith((".", ". "))


SHOWN = [
    (9.5 * 0.3048, "length", "9 ft 6 in", "2.9 m"),
    (0.5 * 0.3048, "length", "6 in", "0.15 m"),
    (1480 * 0.3048, "level", "1,480 ft", "451 m"),
    (-3.5 * 0.3048, "level", "-3 ft 6 in", "-1.07 m"),
    (2600 * 3.785411784, "volume", "2,600 gal", "9,840 L"),
    (10_400 * 3.785411784, "volume", "10,400 gal", "39.4 m3"),
    (15.24, "depth", "0.6 in", "15.2 mm"),
    (28 * 3.785411784, "daily", "28 gal/day", "106 L/day"),
    (253.4395, "area", "2,730 ft2", "253 m2"),
    (0.0, "volume", "0 gal", "0 L"),
    (0.7, "share", "70 %", "70 %"),
    (0.99996, "share", "99.9 %", "99.9 %"),
    (1.0, "share", "100 %", "100 %"),
    (1.0, "duration", "1 day", "1 day"),
    (3.0, "duration", "3 days", "3 days"),
    (math.nan, "volume", "unknown", "unknown"),
    (math.inf, "daily", "no limit", "no limit"),
]


@pytest.mark.parametrize(("value", "quantity", "us", "metric"), SHOWN)
def test_prints_as_a_person_would_write(value, quantity, us, metric):
    assert show(value, quantity, system="us") == us
    assert show(value, quantity, system="metric") == metric


def test_a_named_unit_is_used():
    assert show(9842.07, "volume", system="metric", unit="m3") == "9.84 m3"
    assert convert(1000.0, "volume", unit="m3") == 1.0


@pytest.mark.parametrize("quantity", quantities().values(), ids=lambda q: q.name)
def test_the_examples_in_the_table_are_read(quantity):
    for example in (quantity.example_us, quantity.example_metric):
        read(example, quantity.name)


every_unit = st.sampled_from([(q, u) for q in quantities().values() for u in units()]).filter(
    lambda pair: pair[0].dimension == pair[1].dimension
)


@given(every_unit, st.integers(0, 10**9))
@settings(max_examples=300, deadline=None)
def test_law_there_and_back(pair, thousandths):
    quantity, unit = pair
    if quantity.name == "share":
        thousandths %= 100_000
    value = thousandths / 1000
    try:
        inside = read(f"{value:,.3f} {unit.name}", quantity.name)
    except BadQuantity as refused:
        assert "colder" in str(refused)
        return
    assert convert(inside, quantity.name, unit=unit.name) == pytest.approx(
        value, rel=1e-9, abs=1e-9
    )


@given(
    st.sampled_from(sorted(quantities())), st.floats(1e-3, 1e6), st.sampled_from(["us", "metric"])
)
@settings(max_examples=300, deadline=None)
def test_law_what_is_printed_is_read_again(quantity, value, system):
    asked = quantities()[quantity]
    value = value / 1e6 if quantity == "share" else value
    again = read(show(value, quantity, system=system), quantity)
    # half of the coarser of three figures and the table's step; feet are printed to the inch
    one = read(f"1 {asked.us if system == 'us' else asked.metric}", quantity)
    step = asked.us_step if system == "us" else asked.metric_step
    room = 0.02 if asked.us == "ft" else step * abs(one - read_zero(asked, system))
    assert abs(again - value) <= max(room, 0.006 * value)


def read_zero(asked, system):
    return read("0 F" if system == "us" else "0 C", "temperature") if asked.us == "F" else 0.0


anything = st.one_of(
    st.text(max_size=30),
    st.none(),
    st.integers(),
    st.floats(),
    st.binary(max_size=5),
    st.lists(st.text(max_size=3), max_size=3),
    st.from_regex(re.compile(r"[-+0-9., /xe'\"]{1,8} ?(ft|in|gal|m3|psi|F|%|x)?", re.ASCII)),
)


@given(anything, st.sampled_from(sorted(quantities())))
@settings(max_examples=500, deadline=None)
def test_law_anything_else_is_a_sentence(text, quantity):
    try:
        value = read(text, quantity)
    except BadQuantity as refused:
        assert str(refused)
    else:
        assert math.isfinite(value)


def test_the_examples_in_the_docstrings_run():
    assert doctest.testmod(eavewell.units).failed == 0
