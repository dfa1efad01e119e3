"""The table of the benchmarks: its arithmetic by hand, its workbook beside the engine. Untimed."""

import json
import sys
from pathlib import Path

import pytest
from openpyxl import load_workbook

HOME = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def bench():
    """The modules of the benchmarks, which lie beside the package."""
    sys.path.insert(0, str(HOME))
    try:
        from benchmarks import budget_rows, calc_sheet, cases, results

        yield {
            "rows": budget_rows,
            "calc": calc_sheet,
            "cases": cases,
            "results": results,
        }
    finally:
        sys.path.remove(str(HOME))


CURVE = [(60, 5.0, 8.0, 400.0), (1_000, 5.5, 9.0, 401.0), (100_060, 25.0, 28.0, 410.0)]


def test_a_roof_with_start_up_taken_off(bench):
    # 25 - 5 s over 100,000 roofs are 200 us; 28 - 8 s of the processor likewise
    assert bench["rows"]._each_us(CURVE, at=2) == pytest.approx((200.0, 200.0))


def test_the_estimate_by_hand(bench):
    found = {"curve": [CURVE[0], *CURVE], "bytes": 2_000.0, "two": 1.8}
    told = bench["results"].estimate(found)
    # 130e6 x 200 us = 26,000 s = 7.2 h; over 64 cores at 0.9: 7.5 minutes; 130e6 x 2,000 = 0.26 TB
    for figure in ("200 us", "= 7.2 core-hours", "share of 0.90", "= 8 minutes", "0.26 TB"):
        assert figure in told, figure


def test_a_figure_missed_while_others_use_the_cores_is_not_judged(bench, monkeypatch):
    rows = bench["rows"]
    monkeypatch.setattr(rows.os, "getloadavg", lambda: (9.0, 9.0, 9.0))
    monkeypatch.setattr(rows.os, "cpu_count", lambda: 2)
    assert rows.row("a", "under 1", measured="2", kept=False)["kept"].endswith("a load of 9.0")
    assert rows.row("a", "under 1", measured="0.5", kept=True)["kept"] is True


def test_a_row_says_whether_it_is_kept(bench, monkeypatch):
    monkeypatch.setattr(bench["rows"].os, "getloadavg", lambda: (0.1, 0.1, 0.1))
    row = bench["rows"].row
    rows = [
        row("a", "under 1", measured="0.5", others={"C loop": "0.6"}),
        row("b", "under 1", measured="2", kept=False),
        row("c", "under 1", measured="2", kept="kept by the processor"),
    ]
    lines = bench["results"].table(json.loads(json.dumps(rows))).splitlines()
    assert [line.split(" | ")[3] for line in lines[2:]] == [
        "kept",
        "missed",
        "kept by the processor",
    ]
    assert len({line.count("|") for line in lines}) == 1
    assert lines[2].split(" | ")[7] == "0.6"


def test_the_workbook_holds_the_account_of_each_day(bench, tmp_path):
    """Rain enters and spills first; draws see what the morning held, less the reserve."""
    bench["calc"].write_book(bench["cases"].one_store(1, days=2), tmp_path / "days.xlsx")
    sheet = load_workbook(tmp_path / "days.xlsx")["days"]
    assert [sheet[f"{c}1"].value for c in "ABCD"] == [180.0, 1_000.0, 200.0, 0.0]
    assert sheet["C3"].value == "=$D$1+A3*$A$1"
    assert sheet["C4"].value == "=G3+A4*$A$1"
    assert sheet["F4"].value == "=MIN(MAX(MIN(G3,D4)-$C$1,0),B4)"
    assert sheet["I3"].value == "=(0+1)*H3"
    assert sheet["E2"].value == "=MAX(I3:I4)"
