"""The workbook recalculated by another program, LibreOffice: our totals, and no cell in error."""

import csv
import io
import os
import shutil
import subprocess
from collections import defaultdict

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

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
    for at, end in ((15, "low"), (9, "typical"), (16, "high")):
        assert float(last[at]) == pytest.approx(plain["cost"]["first"][end], abs=0.01)


def test_the_order_is_that_of_the_answer_line_by_line(sheets):
    plain, read = sheets
    *lines, sums = read["order"][4:]
    order = plain["cost"]["order"]
    assert [row[0] for row in lines] == [one["part"] for one in order]
    for row, one in zip(lines, order, strict=True):
        told = one["price"]["typical"]
        assert (row[8] == "") == (told is None)
        assert told is None or float(row[8]) == pytest.approx(told, rel=1e-9, abs=0.005)
    assert float(sums[8]) == pytest.approx(plain["cost"]["ordered"]["typical"], abs=0.01)
    assert float(sums[10]) == 0.0


def test_the_order_is_priced_as_the_places_are(set_papers):
    """One of it costs what it costs where it stands; spares are in what is bought, once."""
    for name in set_papers.NAMES:
        cost = set_papers.example(name)["cost"]
        alike = defaultdict(set)
        for one in cost["parts"]:
            alike[one["part"], one["called"] or one["size"]].add(one["each"]["typical"])
        told = 0.0
        for one in cost["order"]:
            each = one["each"]["typical"]
            assert each in alike[one["part"], one["called"] or one["size"]]
            if each is not None and one["count"]:
                told += each * (one["count"] + one["spares"])
        assert cost["ordered"]["typical"] == pytest.approx(told)


def test_the_barrels_parts_by_place_are_one_printed_page(set_papers, tmp_path):
    """Printed by LibreOffice: every part, every sum and no column beyond the buyer's."""
    office = shutil.which("soffice")
    if office is None:
        if os.environ.get("CI"):
            pytest.fail("soffice is missing: the printed page cannot be counted")
        pytest.skip("soffice is not installed")
    plain = set_papers.example("barrels")
    (tmp_path / "parts.xlsx").write_bytes(parts_book(plain, system="us", day=set_papers.TODAY))
    own = f"-env:UserInstallation={(tmp_path / 'office').as_uri()}"
    asked = [office, own, "--headless", "--convert-to", "pdf", "--outdir", str(tmp_path)]
    subprocess.run(
        [*asked, str(tmp_path / "parts.xlsx")], check=True, capture_output=True, timeout=120
    )
    pages = [page.extract_text() for page in PdfReader(tmp_path / "parts.pdf").pages]
    first = [page for page in pages if "where you" in page]
    assert len(first) == 1
    assert "labour left out" in first[0]
    assert first[0].count("at the tank") >= sum(
        one["stand"] == "at the tank" for one in plain["cost"]["parts"]
    )
    assert "price from" not in "".join(pages)
