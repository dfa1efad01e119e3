"""Price books as people bring them: good ones read, bad ones refused with every fault at once."""

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from eavewell.cost.quotes import quote, shelved
from eavewell.faults import BadPrices, EavewellFault
from eavewell.files.price_book import price_book, read_prices, shipped
from eavewell.files.record import beside_of
from eavewell.files.site.reader import read_site

HEAD = "part,size,low,typical,high,currency,year,life_years,source\n"
GOOD = HEAD + (
    'tank,"2,600 gal",1100,1400,1900,USD,2026,25,offer of a yard\n'
    "pump control,,,35,,USD,2026,,the shop in town\n"
)
FUZZ = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture
def book(tmp_path):
    def write(text, currency="USD"):
        path = tmp_path / "prices.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_prices(path, currency=currency)

    return write


@pytest.fixture
def faults(book):
    def found(text, currency="USD"):
        with pytest.raises(BadPrices) as refused:
            book(text, currency)
        return refused.value.faults

    return found


def test_a_good_book(book):
    tank, control = book(GOOD)
    assert (tank.part, tank.low, tank.typical, tank.high) == ("tank", 1100, 1400, 1900)
    assert tank.size == pytest.approx(2600 * 3.785411784)
    assert (tank.year, tank.life_years, tank.source) == (2026, 25.0, "offer of a yard")
    assert (control.low, control.typical, control.high) == (35, 35, 35)
    assert (control.size, control.life_years, control.unit) == (None, None, "each")


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + GOOD,
        GOOD.replace("\n", "\r\n"),
        GOOD.replace("\n", "\r"),
        GOOD.replace("2,600 gal", "2600 gal").replace(",", ";"),
        GOOD.replace("2,600 gal", "2600 gal").replace(",", "\t"),
        GOOD + "\n\n,,,,,,,,\n",
        GOOD.replace(HEAD, " Part , SIZE,low,Typical,high,currency,year,life_years,source\n"),
    ],
    ids=["mark", "crlf", "cr", "semicolons", "tabs", "empty lines", "capitals"],
)
def test_as_many_programs_write_it(book, text):
    assert [(row.part, row.typical) for row in book(text)] == [
        ("tank", 1400.0),
        ("pump control", 35.0),
    ]


def test_columns_in_any_order_and_only_the_needed_ones(book):
    (row,) = book("source,year,typical,part\nan offer,2025,$12.50,union\n")
    assert (row.low, row.typical, row.high, row.year) == (12.5, 12.5, 12.5, 2025)


def test_old_windows_letters(book):
    (row,) = book("part,typical,year,source\nunion,9,2025,Müller\n".encode("cp1252"))
    assert row.source == "Müller"


def test_thousands_with_commas_and_money_with_its_sign(book):
    (row,) = book(
        HEAD + 'tank,,"1,250","$1,400.50",1900 USD,USD,2026,,an offer\n',
    )
    assert (row.low, row.typical, row.high) == (1250.0, 1400.5, 1900.0)


def says(faults):
    return [(fault.line, fault.says) for fault in faults]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("tank,,1,2,3,EUR,2025,,x", "EUR and the site reckons in USD"),
        ("tank,,1,€2,3,USD,2025,,x", "not in USD"),
        ("tnak,,1,2,3,USD,2025,,x", "no part called 'tnak'"),
        ('tank,,1,"1,50",3,USD,2025,,x', "1,50"),
        ("tank,,1,-2,3,USD,2025,,x", "-2"),
        ("tank,,1,nan,3,USD,2025,,x", "nan"),
        ("tank,,1,inf,3,USD,2025,,x", "inf"),
        ("tank,,1,about 5,3,USD,2025,,x", "about 5"),
        ("tank,,1,,3,USD,2025,,x", "typical price is missing"),
        ("tank,,5,2,3,USD,2025,,x", "must rise"),
        ("tank,,1,2,3,USD,,,x", "year is missing"),
        ("tank,,1,2,3,USD,25,,x", "from 1950"),
        ("tank,,1,2,3,USD,2025.5,,x", "whole year"),
        ("tank,,1,2,3,USD,2025,0,x", "life_years"),
        ("tank,,1,2,3,USD,2025,long,x", "life_years"),
        ("tank,,1,2,3,USD,2025,,", "source is missing"),
        ("tank,2600,1,2,3,USD,2025,,x", "size"),
        ("tank,4 ft,1,2,3,USD,2025,,x", "size"),
        ("tank,0 gal,1,2,3,USD,2025,,x", "size"),
        ("tank,-5 gal,1,2,3,USD,2025,,x", "size"),
        ("lid lock,4 in,1,2,3,USD,2025,,x", "has no size"),
        ("tank,,1,2,3,USD,2025,,x,y", "more cells"),
    ],
)
def test_each_bad_row_is_a_sentence_with_its_line(faults, row, words):
    found = faults(GOOD + row + "\n")
    assert [fault.line for fault in found] == [4] * len(found)
    assert any(words in fault.says for fault in found), says(found)
    assert all(fault.says.rstrip().endswith((".", "?")) for fault in found), says(found)


def test_a_comma_for_a_point_is_not_taken_for_two_cells(faults):
    """1,50 unquoted would push the high price into the currency and lose the source."""
    found = faults(HEAD + "union,,1,1,50,3,USD,2025,,x\n")
    assert [fault.line for fault in found] == [2] * len(found)
    assert any("more cells" in fault.says for fault in found)


def test_every_fault_of_a_file_at_once(faults):
    found = faults(
        HEAD
        + "tnak,,1,2,3,USD,2025,,x\n"
        + "union,,1,2,3,USD,2025,,x\n"
        + "tank,4 ft,5,,3,EUR,,,\n"
        + "union,,x,2,3,USD,2025,,x\n"
    )
    assert [fault.line for fault in found if fault.line != 4] == [2, 5]
    third = " ".join(fault.says for fault in found if fault.line == 4)
    for words in ("size", "typical", "EUR", "year", "source"):
        assert words in third, words


def test_a_size_priced_twice_is_told(faults):
    found = faults(
        HEAD
        + "tank,100 gal,1,2,3,USD,2025,,x\n"
        + "tank,200 gal,1,2,3,USD,2025,,x\n"
        + "tank,100 gal,2,4,6,USD,2025,,x\n"
    )
    assert [fault.line for fault in found] == [4]
    assert "twice" in found[0].says


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ("part,typicl,year,source", "typicl"),
        ("part,typical,source", "year"),
        ("part,typical,year,source,part", "named twice"),
        ("", "typical"),
    ],
)
def test_a_bad_head_is_told_on_line_one(faults, head, words):
    found = faults(f"{head}\nunion,2,2025,x\n")
    assert {fault.line for fault in found} == {1}
    assert any(words in fault.says for fault in found)


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"\n\n",
        HEAD.encode(),
        b"\x00\x01\x02\xff" * 50,
        GOOD.encode("utf-16"),
        b"x" * 6_000_000,
    ],
    ids=["empty", "blank", "head alone", "binary", "utf-16", "6 MB"],
)
def test_what_is_no_price_book_is_refused(faults, text):
    found = faults(text)
    assert found
    assert all(len(fault.says) < 400 for fault in found)


def test_an_open_quote_is_refused(faults):
    assert faults(HEAD + 'tank,"2600 gal,1,2,3,USD,2025,,x\n' + "union,,1,2,3,USD,2025,,x\n" * 9000)


def test_an_open_quote_swallows_no_row(faults):
    """The source would take the rest of the file."""
    assert faults(HEAD + 'union,,1,2,3,USD,2025,,"an offer\ntank,,1,2,3,USD,2025,,x\n')


def test_a_folder_and_a_missing_file(tmp_path):
    for path in (tmp_path, tmp_path / "none.csv"):
        with pytest.raises(BadPrices, match="no price book"):
            read_prices(path, currency="USD")


@FUZZ
@given(text=st.one_of(st.text(max_size=200), st.binary(max_size=200)))
def test_no_text_breaks_it(book, text):
    try:
        book(text if isinstance(text, bytes) else text.encode(errors="replace"))
    except BadPrices as refused:
        assert refused.faults


@FUZZ
@given(
    cells=st.lists(
        st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\r\n"), max_size=12),
        max_size=10,
    )
)
def test_no_row_breaks_it(book, cells):
    try:
        found = book(HEAD + ",".join(cells) + "\n")
    except BadPrices as refused:
        assert refused.faults
    else:
        assert all(math.isfinite(row.high) for row in found)


# The shipped book and the owner's rows before it.


def test_the_owners_rows_stand_in_place_of_the_shipped(tmp_path):
    path = tmp_path / "own.csv"
    path.write_text(GOOD)
    shelf = shelved(price_book(path, currency="USD"))
    assert quote(shelf, "tank", size=200.0).each.typical == 1400.0
    assert quote(shelf, "tank", size=200.0).source == "offer of a yard"
    others = [row.part for row in shipped("USD") if row.part not in ("tank", "pump control")]
    assert set(others) <= set(shelf)


def test_in_another_currency_only_the_owners_rows(tmp_path):
    path = tmp_path / "own.csv"
    path.write_text(GOOD.replace("USD", "EUR"))
    found = price_book(path, currency="EUR")
    assert {row.part for row in found.prices} == {"tank", "pump control"}
    assert price_book(None, currency="EUR").prices == ()


SITE = """
name = "made up"
rain = { climate = "dry-uplands" }
money = { prices = "own.csv" }
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


def test_the_book_stands_beside_the_site_file(tmp_path):
    file = tmp_path / "site.toml"
    file.write_text(SITE)
    with pytest.raises(EavewellFault, match=r"own\.csv"):
        beside_of(read_site(file))
    (tmp_path / "own.csv").write_text(GOOD)
    shelf = shelved(beside_of(read_site(file)).prices)
    assert quote(shelf, "pump control").each.typical == 35.0
    (tmp_path / "own.csv").write_text(HEAD + "tnak,,1,2,3,EUR,2025,,x\n")
    with pytest.raises(BadPrices) as refused:
        beside_of(read_site(file))
    assert [fault.line for fault in refused.value.faults] == [2, 2]


def test_the_shipped_prices_rise_with_the_size():
    by_part = shelved(price_book(None, currency="USD"))
    for part, prices in by_part.items():
        assert [row.size for row in prices] == sorted(row.size or 0.0 for row in prices) or (
            len(prices) == 1
        )
        typical = [row.typical for row in prices]
        assert typical == sorted(typical), part


def test_the_shipped_prices_say_that_they_are_from_memory():
    assert all("memory" in row.source for row in shipped("USD"))
