"""The workbook recalculated by another program, LibreOffice: our totals, and no cell in error."""

import csv
import io
import os
import shutil
import subprocess

import pytest
from openpyxl import load_workbook

from eavewell.papers.parts_book import parts_book

# comma, double quotes, UTF-8, as stored and not as shown, every sheet to its own file
AS_CSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"


@pytest.fixture(scope="module")
def sheets(set_papers, tmp_path_factory):
    """Rows of every sheet of the whole house's workbook, and the answer it was made from."""
    office = shutil.which("soffice")
    if office is None:
        if os.environ.get("CI"):
            pytest.fail("soffice is missing: the workbook cannot be proven in a second program")
        pytest.skip("soffice is not installed")
    plain = set_papers.example("whole-house")
    folder = tmp_path_factory.mktemp("book")
    made = io.BytesIO(parts_book(plain, system="us", day=set_papers.TODAY))
    # saved without the values that stand beside the formulas, so that each must be worked out
    load_workbook(made).save(folder / "parts.xlsx")
    own = f"-env:UserInstallation={(folder / 'office').as_uri()}"
    asked = [office, own, "--headless", "--convert-to"]
    asked += [AS_CSV, "--outdir", str(folder), str(folder / "parts.xlsx")]
    subprocess.run(asked, check=True, capture_output=True, timeout=120)
    read = {
        path.stem.removeprefix("parts-"): list(
            csv.reader(io.StringIO(path.read_text(encoding="utf-8")))
        )
        for path in folder.glob("parts-*.csv")
    }
    return plain, read


def test_no_cell_is_in_error(sheets):
    _, read = sheets
    assert set(read) == {"parts by place", "order", "cut list"}
    cells = [cell for rows in read.values() for row in rows for cell in row]
    assert not [cell for cell in cells if cell.startswith(("#", "Err:"))]


def test_the_totals_are_those_of_the_answer(sheets):
    plain, read = sheets
    last = next(row for row in read["parts by place"] if row[0].startswith("everything"))
    for at, end in enumerate(("low", "typical", "high"), 12):
        told = sum(one["price"][end] or 0.0 for one in plain["cost"]["parts"])
        assert float(last[at]) == pytest.approx(told, abs=0.01)


def test_the_order_is_reckoned_line_by_line(sheets):
    plain, read = sheets
    *lines, sums = read["order"][4:]
    assert len(lines) == len(plain["cost"]["order"])
    bought = [float(row[4]) * float(row[12]) for row in lines if row[12]]
    priced = [float(row[13]) for row in lines if row[13]]
    assert priced == pytest.approx(bought, abs=0.02)
    assert float(sums[13]) == pytest.approx(sum(priced), abs=0.02)
    known = {one["part"] for one in plain["cost"]["parts"] if one["each"]["typical"] is not None}
    assert {row[0] for row in lines if row[12]} <= known
