"""The papers of a programme: figures of the results, small groups hidden, two programs read it."""

import csv
import io
import os
import re
import shutil
import subprocess
import sys
from datetime import date

import polars
import pytest
from openpyxl import load_workbook
from pypdf import PdfReader
from tests.district.made_district import SETTINGS, folder_of

from eavewell.district.programme import papers, programme
from eavewell.district.run import Hands, Sources, screen_district
from eavewell.faults import BadRoofs

DAY = date(2026, 3, 2)
WELLS = """
[[money.others]]
name = "drilled well"
first_low = "$9,000"
first_high = "$25,000"
yearly_low = "$200"
yearly_high = "$500"
fails = "10 %"
"""
METERS = """homes,when,date,count,use_gal
with tanks,before,2023-07,10,100000
with tanks,after,2024-07,10,90000
"""


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    home = tmp_path_factory.mktemp("programme") / "valley"
    folder_of(home, 60, settings=SETTINGS)
    lines = (home / "roofs.csv").read_text().splitlines()
    lines[1:4] = [line.rpartition(",")[0] + ",Mill Lane" for line in lines[1:4]]
    lines[9] = lines[9].replace(lines[9].split(",")[3], "-20")
    (home / "roofs.csv").write_text("\n".join(lines))
    (home / "meters.csv").write_text(METERS)
    screen_district(sources(home), out=home / "out", hands=Hands(1))
    return home


def sources(home):
    return Sources(home / "roofs.csv", home / "district.toml", home / "records")


@pytest.fixture(scope="module")
def made(home):
    return programme(sources(home), home / "out", day=DAY)


@pytest.fixture(scope="module")
def written(made):
    return papers(made, day=DAY)


def text_of(pdf):
    pages = PdfReader(io.BytesIO(pdf)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


def test_money_is_that_of_the_results(home, made):
    rows = polars.read_parquet(sorted((home / "out/sizes").glob("*/*.parquet")))
    for one in made.told["whole"]["sizes"]:
        mine = rows.filter(rows["size_l"] == one["size_l"])
        for end, column in (("low", "_low"), ("typical", ""), ("high", "_high")):
            first = mine[f"first_cost{column}"].sum()
            assert one["cost"]["first"][end] == pytest.approx(first, rel=1e-9)
            # the results have mains water in the yearly sum, the cost of a tank's water has not
            assert one["cost"]["yearly"][end] < mine[f"yearly_cost{column}"].sum()
        m3 = mine["supplied_l_year"].sum() / 1000.0
        each = one["cost"]["yearly"]["typical"] / m3
        assert one["cost"]["per_m3"]["typical"] == pytest.approx(each, rel=1e-9)


def test_the_size_told_first_brings_half_to_their_goals(made):
    sizes = made.told["whole"]["sizes"]
    reach = [one["size_l"] for one in sizes if one["reaching"] * 2 >= one["roofs"]]
    assert made.told["size_l"] == min(reach)


def test_the_paper_says_what_it_must(made, written):
    text = text_of(written["programme.pdf"])
    for words in (
        "Modelled, not verified",
        "Screening, not design approval",
        "per acre-foot",
        "On nine of ten days of that month",
        "that somebody is there: 1 district of fewer than 5 roofs.",
        "with the rest",
        "mains only",
        "1 of 60 rows were not screened",
        "Q0",
        "Squares of about",
    ):
        assert words in text, words
    at = next(one for one in made.told["whole"]["sizes"] if one["size_l"] == made.told["size_l"])
    assert f"{at['reaching']} of {at['roofs']} roofs reach their goals" in text


def test_no_roof_is_named_anywhere(home, written):
    rows = list(csv.DictReader((home / "roofs.csv").read_text().splitlines()))
    told = text_of(written["programme.pdf"]) + written["map.geojson"] + written["map.svg"]
    cells = [
        str(cell.value)
        for sheet in load_workbook(io.BytesIO(written["programme.xlsx"]))
        for line in sheet.iter_rows()
        for cell in line
    ]
    for row in rows:
        assert not re.search(rf"\b{row['id']}\b", told)
        assert row["latitude"] not in told
        assert row["id"] not in cells
    assert "Mill Lane" not in cells
    assert "Mill Lane" not in told


def test_the_paper_and_the_map_are_the_same_again(made, written):
    again = papers(made, day=DAY)
    assert again == written


def test_the_map_is_drawn_in_ink_and_one_blue(written):
    inks = set(re.findall(r'stroke="(#[0-9a-f]{6})"', written["map.svg"].partition("</defs>")[2]))
    assert inks <= {"#1f2a30", "#5a6468", "#2a6a8f"}
    for words in (">N<", "Fewer than 5 roofs are not drawn", "mi<", "rain gauge"):
        assert words in written["map.svg"], words


def test_the_workbook_hides_what_is_few(written):
    book = load_workbook(io.BytesIO(written["programme.xlsx"]))
    assert book.sheetnames == [
        "by size",
        "by district",
        "by record",
        "other ways",
        "rows not screened",
    ]
    lines = [[cell.value for cell in row] for row in book["by district"].iter_rows(min_row=5)]
    assert {line[0] for line in lines} == {"Upper", "Lower", "the rest"}
    (other,) = [line for line in lines if line[1] == "with the rest"]
    assert not any(other[2:])
    assert "1 district of fewer than 5" in book["by district"]["A2"].value
    sizes = [[cell.value for cell in row] for row in book["by size"].iter_rows(min_row=5)]
    assert [line[1] for line in sizes] == [59, 59, 59]


def test_the_workbook_opens_in_another_program(written, tmp_path):
    office = shutil.which("soffice")
    if office is None:
        if os.environ.get("CI"):
            pytest.fail("soffice is missing: the workbook cannot be proven in a second program")
        pytest.skip("soffice is not installed")
    (tmp_path / "programme.xlsx").write_bytes(written["programme.xlsx"])
    own = f"-env:UserInstallation={(tmp_path / 'office').as_uri()}"
    kind = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"
    asked = [office, own, "--headless", "--convert-to", kind, "--outdir", str(tmp_path)]
    subprocess.run(
        [*asked, str(tmp_path / "programme.xlsx")], check=True, capture_output=True, timeout=120
    )
    read = sorted(tmp_path.glob("programme-*.csv"))
    assert len(read) == 5
    cells = [
        cell
        for path in read
        for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8")))
        for cell in row
    ]
    assert not [cell for cell in cells if cell.startswith(("#", "Err:"))]


def test_other_ways_stand_by_district(tmp_path):
    home = tmp_path / "wells"
    folder_of(home, 30, settings=SETTINGS.replace("\n[[set]]", f"\n{WELLS}\n[[set]]", 1))
    screen_district(sources(home), out=home / "out", hands=Hands(1))
    told = programme(sources(home), home / "out", day=DAY).told
    ways = {(one["group"], one["way"]): one for one in told["ways"]}
    groups = {"", *(line["name"] for line in told["districts"] if line["sizes"])}
    assert {group for group, _ in ways} == groups
    for group in groups:
        well = ways[group, "drilled well"]
        assert (well["first"]["low"], well["first"]["high"]) == (9000, 25000)
        # twenty years at 3 %: 9,000 are 604.94 a year (annuity 14.8775), and 200 a year stay 200
        assert well["yearly"]["low"] == pytest.approx(9000 / 14.87747 + 200, rel=1e-5)
        assert "10 % chance" in well["says"]


def test_nothing_is_written_of_four_roofs(tmp_path):
    home = tmp_path / "four"
    folder_of(home, 4)
    screen_district(sources(home), out=home / "out", hands=Hands(1))
    with pytest.raises(BadRoofs, match="Fewer than 5 roofs"):
        programme(sources(home), home / "out", day=DAY)


def test_the_mark_of_an_issue_does_not_move_with_the_day(home, written):
    other = date(2026, 3, 3)
    again = papers(programme(sources(home), home / "out", day=other), day=other)
    marks = [
        re.search("issue ([0-9a-f]{8})", text_of(one["programme.pdf"]))[1]
        for one in (written, again)
    ]
    assert marks[0] == marks[1]


def test_a_long_list_of_records_is_cut_and_the_rest_named(made, monkeypatch):
    monkeypatch.setattr("eavewell.papers.programme.MOST_RECORDS", 1)
    pdf = papers(made, day=DAY)["programme.pdf"]
    assert "more records, with fewer roofs each" in text_of(pdf)


def test_the_command_writes_it_with_meters(home):
    done = subprocess.run(
        [
            *(sys.executable, "-m", "eavewell", "district", "roofs.csv", "--records", "records"),
            *("--out", "out", "--meters", "meters.csv"),
        ],
        cwd=home,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "programme.pdf" in done.stdout
    text = text_of((home / "out/programme/programme.pdf").read_bytes())
    assert "Metered: 10 homes with tanks used 1,000 gal less a home" in text
    assert "the weather not taken out" in text


def test_every_paper_on_invented_records_says_so(made, written):
    assert all(one["invented"] for one in made.told["records"] if one["sizes"] and one["from"])
    assert "never for building" in text_of(written["programme.pdf"])
    for name in ("map.svg", "map.geojson"):
        assert "invented" in written[name], name
    for page in load_workbook(io.BytesIO(written["programme.xlsx"])):
        assert "invented" in page["A2"].value, page.title
