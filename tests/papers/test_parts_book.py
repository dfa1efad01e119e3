"""The parts workbook: its formulas, reckoned here by hand, give the answer's own totals."""

import re
from copy import deepcopy
from datetime import date
from io import BytesIO

import openpyxl
import pytest

from eavewell.papers.books import letter
from eavewell.papers.parts_book import parts_book

DAY = date(2026, 3, 1)
BAND = ("low", "typical", "high")


def band(typical):
    return {"low": typical / 2, "typical": typical, "high": 2 * typical}


def part(name, count, unit="each", **fields):
    usual = {
        "part": name,
        "count": count,
        "unit": unit,
        "size": None,
        "called": "",
        "joins": "NPT",
        "spares": 0.0,
        "lengths_m": [],
        "says": "",
        "where": "tank 'main'",
        "stand": "at the tank",
        "each": dict.fromkeys(BAND),
        "price": dict.fromkeys(BAND),
        "life_years": None,
        "there": False,
        "price_source": "memory: from memory - check",
        "stretched": False,
    }
    return usual | fields


def priced(name, count, each, *, spares=0.0, there=False, **fields):
    all_of_it = 0.0 if there else each * (count + spares)
    more = {"each": band(each), "price": band(all_of_it), "spares": spares, "there": there}
    return part(name, count, **more, **fields)


@pytest.fixture
def plain():
    pipe = {"size": 100.0, "called": "4 in", "lengths_m": [3.048, 3.048, 1.2]}
    parts = [
        priced("gutter", 9.144, 4.0, spares=0.5, unit="m", where="gutter 'a'", stand="at the eave"),
        priced("pvc pipe", 7.296, 6.5, unit="m", stand="along the trench", **pipe),
        priced("crushed rock", 2.0, 60.0, unit="m3", stand="under the tank"),
        priced("tank", 2, 1500.0, size=10_000.0),
        priced("vent screen", 2, 12.0, spares=1.0),
        priced("lid lock", 2, 20.0, there=True),
        part("anchor strap", 0.0),
    ]
    whole = {end: sum(one["price"][end] or 0.0 for one in parts) for end in BAND}
    pieces = [{"cuts_m": [3.048]}, {"cuts_m": [3.048]}, {"cuts_m": [1.2, 0.9]}]
    order = [
        one | {"stock_pieces": 0, "stock_m": None, "pieces": []}
        for one in parts
        if not one["there"]
    ]
    order[-1] |= {"price": dict.fromkeys(BAND)}
    bought = {end: sum(one["price"][end] or 0.0 for one in order) for end in BAND}
    order[1] |= {"stock_pieces": 3, "stock_m": 3.048, "pieces": pieces}
    cost = {
        "currency": "USD",
        "price_year_first": 2020,
        "price_year_last": 2025,
        "from_memory": True,
        "first": whole,
        "parts": parts,
        "order": order,
        "ordered": bought,
    }
    return {"site": "Quailwater & Sons <barn>", "eavewell": "0.1.0", "cost": cost}


def opened(plain, *, values=False, system="us"):
    made = parts_book(plain, system=system, day=DAY)
    return openpyxl.load_workbook(BytesIO(made), data_only=values)


def reckon(sheet, at):
    """A cell's value from its formula, nothing cached: SUM, SUMIF, N, ISNUMBER, IF, arithmetic."""
    says = sheet[at.replace("$", "")].value
    if not isinstance(says, str) or not says.startswith("="):
        return says
    names = {
        "SUM": lambda cells: sum(one for one in cells if isinstance(one, float | int)),
        "SUMIF": lambda where, what, cells: sum(
            one or 0.0 for one, key in zip(cells, where, strict=True) if key == what
        ),
        "N": lambda one: one if isinstance(one, float | int) else 0.0,
        "ISNUMBER": lambda one: isinstance(one, float | int),
        # a blank equals "", as in a spreadsheet
        "cell": lambda one: "" if (found := reckon(sheet, one)) is None else found,
        "cells": lambda one: [reckon(sheet, cell.coordinate) for (cell,) in flat(sheet, one)],
    }
    cell = r"\$?[A-Z]{1,2}\$?\d+"
    python = re.sub(rf"{cell}:{cell}", lambda found: f'cells("{found[0]}")', says[1:])
    python = re.sub(
        rf'(?<!["$A-Z\d:]){cell}(?![":\d])', lambda found: f'cell("{found[0]}")', python
    )
    python = re.sub(r'(?<=[)\w])=(?=["0])', "==", python)
    if python.startswith("IF("):
        test, yes, no = re.fullmatch(r"IF\((.*?),(.*?),(.*)\)", python).groups()
        return eval(yes, names) if eval(test, names) else eval(no, names)
    return eval(python, names)


def flat(sheet, where):
    found = sheet[where.replace("$", "")]
    return [(cell,) for row in found for cell in row]


def test_the_sums_are_the_answers(plain):
    book = opened(plain)
    sheet = book["parts by place"]
    last = sheet.max_row
    for at, end in zip("PJQ", BAND, strict=True):
        assert reckon(sheet, f"{at}{last}") == pytest.approx(plain["cost"]["first"][end])


def test_every_cached_value_is_what_its_formula_gives(plain):
    for system in ("us", "metric"):
        live, kept = opened(plain, system=system), opened(plain, values=True, system=system)
        formulas = 0
        for sheet in live:
            for row in sheet.iter_rows():
                for cell in row:
                    if isinstance(cell.value, str) and cell.value.startswith("="):
                        was = kept[sheet.title][cell.coordinate].value or 0.0
                        now = reckon(sheet, cell.coordinate) or 0.0
                        now = now if isinstance(now, str) else pytest.approx(now)
                        assert was == now, (sheet.title, cell.coordinate)
                        formulas += 1
        # 7 parts by place with 1 and 6 priced with 3, 4 stands and all with 3, 6 of the order
        # with 3 and their 2 sums, 3 pieces with 2
        assert formulas == 7 * 1 + 6 * 3 + 5 * 3 + 6 * 3 + 2 + 3 * 2


def test_counts_and_prices_in_feet_give_the_same_money(plain):
    sheet = opened(plain, values=True)["parts by place"]
    row = next(row for row in sheet.iter_rows(values_only=True) if row[2] == "gutter")
    assert row[4:7] == (pytest.approx(9.644 / 0.3048), "ft", "")
    assert row[10:12] == (pytest.approx(30.0), pytest.approx(0.5 / 0.3048))
    assert row[13] == pytest.approx(4.0 * 0.3048)
    assert row[9] == pytest.approx(4.0 * 9.644)
    rock = next(row for row in sheet.iter_rows(values_only=True) if row[2] == "crushed rock")
    # a cubic yard is 0.764555 m3
    assert rock[4] == pytest.approx(2.0 / 0.764555, rel=1e-5)
    assert rock[5] == "yd3"


def test_unknown_unpriced_and_there(plain):
    rows = list(opened(plain, values=True)["parts by place"].iter_rows(values_only=True))
    strap = next(row for row in rows if row[2] == "anchor strap")
    assert (strap[4], strap[10]) == ("unknown", "unknown")
    assert strap[12:17] == (None,) * 5
    lock = next(row for row in rows if row[2] == "lid lock")
    assert lock[6] == "yes"
    assert (lock[9], *lock[15:17]) == (0.0, 0.0, 0.0)


def test_the_order_leaves_out_what_is_there_and_what_nobody_counted(plain):
    rows = list(opened(plain, values=True)["order"].iter_rows(values_only=True))
    assert "lid lock" not in {row[0] for row in rows}
    strap = next(row for row in rows if row[0] == "anchor strap")
    assert (strap[2], strap[8]) == ("unknown", None)
    # 4.0 x 9.644 + 6.5 x 7.296 + 60 x 2 + 1500 x 2 + 12 x 3
    assert rows[-1][8] == pytest.approx(38.576 + 47.424 + 120.0 + 3000.0 + 36.0)


def test_a_quoted_price_is_reckoned(plain):
    book = opened(plain)
    sheet = book["order"]
    row = next(row for row in range(5, 12) if sheet[f"A{row}"].value == "vent screen")
    assert reckon(sheet, f"K{row}") == ""
    sheet[f"J{row}"] = 10.0
    assert reckon(sheet, f"K{row}") == pytest.approx(30.0)
    assert reckon(sheet, f"K{sheet.max_row}") == pytest.approx(30.0)


def test_the_cut_list_leaves_what_is_left(plain):
    sheet = opened(plain, values=True, system="metric")["cut list"]
    rows = [row for row in sheet.iter_rows(values_only=True) if row[0] == "pvc pipe"]
    assert [row[3:5] for row in rows] == [(3.048, None), (3.048, None), (1.2, 0.9)]
    assert rows[2][5:7] == (pytest.approx(2.1), pytest.approx(0.948))


def test_words_stay_words_and_print_is_set(plain):
    plain["cost"]["parts"][0]["where"] = '=HYPERLINK("http://x")'
    plain["site"] = 'Q & "B" <x> ' + "long " * 100
    book = opened(plain)
    cell = next(c for c in book["parts by place"]["B"] if "HYPERLINK" in str(c.value))
    assert cell.data_type == "s"
    for sheet in book:
        assert sheet.freeze_panes == "B5"
        assert sheet.print_title_rows == "$4:$4"
        upright = sheet.title == "parts by place"
        assert sheet.page_setup.orientation == ("portrait" if upright else "landscape")
        assert "2026-03-01" in sheet["A2"].value
    assert (
        "Q && " in book["order"].oddFooter.left.text or "Q & " in book["order"].oddFooter.left.text
    )


def test_two_runs_are_equal_and_an_empty_list_is_a_book(plain):
    assert parts_book(plain, system="us", day=DAY) == parts_book(plain, system="us", day=DAY)
    empty = deepcopy(plain)
    empty["cost"] |= {"parts": [], "order": [], "ordered": dict.fromkeys(BAND)}
    empty["cost"] |= {"price_year_first": None}
    assert "No part has a price" in opened(empty)["parts by place"]["A2"].value


def test_letters_of_columns():
    assert [letter(at) for at in (0, 25, 26, 51, 52, 702)] == ["A", "Z", "AA", "AZ", "BA", "AAA"]


def test_a_row_is_as_high_as_its_longest_cell_needs(plain):
    """Lines of 12.5 points, to a dot of the screen, in joins of 26 digits with 1.5 left free."""
    joins = "1234567890 1234567890 1234567890"
    plain["cost"]["parts"][0]["joins"] = joins
    sheet = opened(plain)["parts by place"]
    assert sheet.row_dimensions[5].height == pytest.approx(2 * 12.5, abs=0.5)
    assert sheet.row_dimensions[6].height == pytest.approx(12.5, abs=0.5)
    # two of ten and a blank are 20.5 wide, three 31
    plain["cost"]["parts"][0]["joins"] = " ".join([joins] * 2)
    assert opened(plain)["parts by place"].row_dimensions[5].height == pytest.approx(
        3 * 12.5, abs=0.5
    )


def test_a_buyers_columns_are_printed_and_no_more(plain):
    book = opened(plain)
    areas = {sheet.title: sheet.print_area.replace("$", "") for sheet in book}
    rows = {sheet.title: sheet.max_row for sheet in book}
    assert areas["parts by place"].endswith(f"A1:J{rows['parts by place']}")
    assert areas["order"].endswith(f"A1:L{rows['order']}")
