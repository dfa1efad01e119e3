"""Money as people write it, and the [money] and [power] sections of a site file."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.faults import BadQuantity, BadSite
from eavewell.files.money_texts import agrees, read_money, read_money_per_m3
from eavewell.files.site.reader import site_of_text
from eavewell.site.money import Amount, Money, OtherWater, Rebate, Tier
from eavewell.site.power import Power

GAL_M3 = 3.785411784e-3
SITE = """
name = "made up"
[rain]
climate = "dry-uplands"
[[roof]]
name = "shed"
area = "500 ft2"
finish = "metal"
drains_to = "main"
[[tank]]
name = "main"
each = "1,000 gal"
[[use]]
name = "garden"
class = "outdoor"
draws_from = ["main"]
people = 1
each = "5 gal/day"
"""
LINES = SITE.count("\n")


@pytest.mark.parametrize(
    ("text", "value", "currency"),
    [
        ("$1,250.00", 1250.0, "$"),
        ("$ 120", 120.0, "$"),
        ("120 USD", 120.0, "USD"),
        ("120USD", 120.0, "USD"),
        ("EUR 40", 40.0, "EUR"),
        ("€0.16", 0.16, "EUR"),
        ("A$ .5", 0.5, "AUD"),
        ("1,234,567 KES", 1234567.0, "KES"),
        ("R$ 12", 12.0, "BRL"),
        ("0 USD", 0.0, "USD"),
    ],
)
def test_money(text, value, currency):
    assert read_money(text) == Amount(value, currency)


@pytest.mark.parametrize(
    "raw",
    [
        *("abc", "", "120", "USD", "-5 USD", "$-5", "1,50 USD", "12,34 USD", "1.2.3 USD", "$5 USD"),
        *(
            "5 doubloons",
            "nan USD",
            "inf USD",
            "9" * 400 + " USD",
            "USD 5 EUR",
            "5 %",
            "5 to 6 USD",
        ),
        *(5, 5.0, True, None, ["5 USD"], {"USD": 5}),
    ],
)
def test_what_is_no_money_is_refused_in_a_sentence(raw):
    with pytest.raises(BadQuantity) as refused:
        read_money(raw)
    assert refused.value.faults[0].says.endswith(".")
    assert len(refused.value.faults[0].says) < 260


@pytest.mark.parametrize(
    ("text", "per_m3", "currency"),
    [
        ("4.50 USD per 1,000 gal", 4.5 / (1000 * GAL_M3), "USD"),
        ("$2/m3", 2.0, "$"),
        ("EUR 2.10 per m3", 2.1, "EUR"),
        ("0.50 USD per gal", 0.5 / GAL_M3, "USD"),
        ("R$ 3/1000 L", 3.0, "BRL"),
    ],
)
def test_money_for_a_volume(text, per_m3, currency):
    found = read_money_per_m3(text)
    assert (found.value, found.currency) == (pytest.approx(per_m3), currency)


@pytest.mark.parametrize(
    "raw",
    [
        "4.50 USD",
        "$2/",
        "$2/ft",
        "$2 per 0 gal",
        "$2 per -5 gal",
        "per m3",
        "/",
        "2/m3",
        2,
        None,
        "",
    ],
)
def test_what_is_no_price_of_water_is_refused(raw):
    with pytest.raises(BadQuantity) as refused:
        read_money_per_m3(raw)
    assert refused.value.faults[0].says


@settings(max_examples=300, deadline=None)
@given(raw=st.one_of(st.text(max_size=30), st.integers(), st.floats(), st.none()))
def test_any_text_is_money_or_refused(raw):
    for reading in (read_money, read_money_per_m3):
        try:
            found = reading(raw)
        except BadQuantity as refused:
            assert refused.faults
        else:
            assert math.isfinite(found.value)
            assert found.value >= 0.0


def test_a_bare_dollar_is_any_dollar_and_no_other_money():
    assert agrees(Amount(1.0, "$"), "USD")
    assert agrees(Amount(1.0, "$"), "AUD")
    assert not agrees(Amount(1.0, "$"), "EUR")
    assert not agrees(Amount(1.0, "USD"), "AUD")


# The section.


def money(text):
    return site_of_text(f"{SITE}[money]\n{text}").money


def faults(text):
    with pytest.raises(BadSite) as refused:
        site_of_text(SITE + text)
    return refused.value.faults


def test_without_a_section_the_shipped_prices_alone():
    assert site_of_text(SITE).money == Money()
    assert site_of_text(SITE).power == Power()


def test_a_whole_section():
    found = money("""
years = 25
discount = "3 %"
inflation = "2 %"
kwh = "$0.14"
load = "310 USD"
mains_month = "$12"
tests_year = "$90"
tiers = [
  { up_to = "3,000 gal", price = "$3 per 1,000 gal" },
  { price = "$9 per 1,000 gal" },
]
rebates = [
  { name = "water office", per_volume = "0.50 USD per gal", most = "$2,000" },
  { name = "county", amount = "$150" },
]
others = [
  { name = "well", first_low = "$9,000", first_high = "$32,000", yearly_low = "$200", \
fails = "20 %" },
]
have = ["pressure tank"]
""")
    assert (found.years, found.discount, found.inflation) == (25, 0.03, 0.02)
    assert (found.kwh, found.load, found.mains_month, found.tests_year) == (0.14, 310, 12, 90)
    assert found.tiers == (
        Tier(pytest.approx(3000 * GAL_M3 * 1000), pytest.approx(3 / (1000 * GAL_M3))),
        Tier(None, pytest.approx(9 / (1000 * GAL_M3))),
    )
    office, county = found.rebates
    assert (office.per_l, office.most) == (pytest.approx(0.5 / (GAL_M3 * 1000)), 2000)
    assert county == Rebate("county", 150.0)
    assert found.others == (OtherWater("well", 9000, 32000, 200, 200, 0.2),)
    assert found.have == ("pressure tank",)


def test_power():
    text = '[power]\nbattery = "5 kWh"\nsurge = "3,000 W"\ncontrols = "4 W"\nheat_trace = "60 W"\n'
    found = site_of_text(SITE + text).power
    assert (found.battery_kwh, found.surge_w, found.controls_w, found.heat_trace_w) == (
        pytest.approx(5),
        pytest.approx(3000),
        pytest.approx(4),
        pytest.approx(60),
    )


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ('currency = "EUR"\nkwh = "$0.14"', 3, "EUR"),
        ('kwh = "0.14 EUR"', 2, "EUR"),
        ('years = 20\nload = "abc"', 3, "abc"),
        ("load = 250", 2, "250"),
        ('currency = "dollars"', 2, "dollars"),
        ("years = 0", 2, "years"),
        ("years = 101", 2, "years"),
        ('discount = "120 %"', 2, "120"),
        ('discuont = "3 %"', 2, "discuont"),
        ('tiers = [{ up_to = "10 m3", price = "$2/m3" }]', None, "last step"),
        (
            'tiers = [{ up_to = "10 m3", price = "$2/m3" }, { up_to = "5 m3", price = "$3/m3" }, '
            '{ price = "$4/m3" }]',
            2,
            "rise",
        ),
        ('tiers = [{ price = "$2/m3" }, { price = "$4/m3" }]', 2, "up_to"),
        ('tiers = [{ price = "2 EUR/m3" }]', 2, "EUR"),
        ('rebates = [{ name = "office" }]', 2, "per_volume"),
        ('rebates = [{ name = "o", amount = "$1", per_volume = "$1/m3" }]', 2, "per_volume"),
        ('others = [{ name = "well", first_low = "$9", first_high = "$3" }]', 2, "below"),
        ('others = [{ name = "well", first_high = "$3" }]', 2, "first_low"),
    ],
)
def test_a_fault_with_its_line(text, line, words):
    found = faults(f"[money]\n{text}\n")
    assert any(words in str(fault.says) + str(fault.where) for fault in found), found
    if line is not None:
        assert {fault.line for fault in found} == {LINES + line}
    assert all(fault.line and fault.line > LINES for fault in found)


def test_all_faults_at_once():
    found = faults("""[money]
kwh = "abc"
load = "3 EUR"
years = 0
tests_year = 5
""")
    assert [fault.line for fault in found] == [LINES + line for line in (2, 3, 4, 5)]


# What an owner is ready to change.


def test_weigh():
    found = site_of_text(
        SITE
        + """[weigh]
tank = "main"
each = ["1,500 gal", "2,600 gal"]
counts = [1, 2]
roofs = ["500 ft2", "700 ft2"]
fixtures = ["80 %"]
gardens = ["50 %"]
rations = true
"""
    ).weighing
    assert found.each_l == pytest.approx((1500 * GAL_M3 * 1000, 2600 * GAL_M3 * 1000))
    assert found.counts == (1, 2)
    assert found.roofs_m2 == pytest.approx((500 * 0.3048**2, 700 * 0.3048**2))
    assert (found.fixtures, found.gardens, found.rations) == ((0.8,), (0.5,), True)


@pytest.mark.parametrize(
    "text",
    [
        'each = ["0 gal"]',
        'each = "1,500 gal"',
        "each = [1500]",
        "counts = [0]",
        "counts = [1.5]",
        'roofs = ["0 ft2"]',
        'fixtures = ["0 %"]',
        'fixtures = ["120 %"]',
        'gardens = ["-5 %"]',
        'rations = "yes"',
        "tank = 5",
        'sizes = ["1 gal"]',
    ],
)
def test_weigh_with_a_fault(text):
    found = faults(f"[weigh]\n{text}\n")
    assert [fault.line for fault in found] == [LINES + 2]
