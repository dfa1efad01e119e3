"""A workshop from its sign-in list: pages, parts, tools and cuts, with nothing fetched."""

import io
import math
import re
import subprocess
import sys
from dataclasses import replace
from datetime import date

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from eavewell.cost.parts import by_stand, take_off
from eavewell.district.workshop import Guest, kit_of, read_guests, workshop, workshop_papers
from eavewell.faults import BadRoofs
from eavewell.tables import rows, table

DAY = date(2026, 3, 2)
LIST = """Name;Town;Roof;What for
Ada Wren;Quailwater;24 x 40 ft metal;tomatoes and peppers
Ben Thrush;Upper Ford;1,200 sq ft shingle;chickens, and drinking at the cabin
Cleo Finch;Quailwater;unknown;
Dov Heron;Lower Ford;14 ft x 12 ft corrugated iron;misting the porch
Esme Dove;Lower Ford;600 ft2;rinsing boots
"""
FT2 = 0.09290304


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    path = tmp_path_factory.mktemp("workshop") / "sign-in.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def kit():
    return kit_of(None)


@pytest.fixture(scope="module")
def told(sheet, kit):
    return workshop(read_guests(sheet), kit)


@pytest.fixture(scope="module")
def written(told):
    return workshop_papers(told, day=DAY)


def pages_of(pdf):
    read = PdfReader(io.BytesIO(pdf)).pages
    return [re.sub(r"\s+", " ", page.extract_text()) for page in read]


@pytest.mark.parametrize(
    ("roof", "ft2", "finish"),
    [
        ("24 x 40 ft metal", 960, "metal"),
        ("24 ft x 40 ft", 960, ""),
        ("24' x 40' asphalt shingle", 960, "asphalt shingle"),
        ("24 by 40 feet, tin", 960, "metal"),
        ("24ft x 40ft clay tile", 960, "clay tile"),
        ("12 ft 6 in x 10 ft", 125, ""),
        ("1,200 sq ft", 1200, ""),
        ("about 1200 sq. ft of shingle", 1200, "asphalt shingle"),
        ("1200 ft² painted steel", 1200, "painted steel"),
        ("24 x 40", None, ""),
        ("big", None, ""),
        ("0 x 0 ft", None, ""),
        ("1e9 sq ft", None, ""),
        ("", None, ""),
        ("metal, no idea how large", None, "metal"),
        ("9000 x 9000 ft", None, ""),
    ],
)
def test_roofs_as_people_write_them(tmp_path, roof, ft2, finish):
    path = tmp_path / "list.csv"
    path.write_text(f'name,roof\nAda,"{roof}"\n', encoding="utf-8")
    (found,) = read_guests(path)
    assert found.finish == finish
    if ft2 is None:
        assert found.area_m2 is None
    else:
        assert found.area_m2 == pytest.approx(ft2 * FT2, rel=1e-9)


def test_the_rain_that_fills_the_barrels(told, kit):
    ada = told["guests"][0]
    tank_l = sum(tank.usable_l for tank in kit.tanks)
    # 2 gal go to the first flush; metal lets 0.9 through
    share = table("runoff")["metal"].value
    expected_mm = (tank_l + 2 * 3.785411784) / (960 * FT2 * share)
    assert ada["fill_mm"] == pytest.approx(expected_mm, rel=1e-9)
    assert told["guests"][2]["fill_mm"] is None
    assert told["guests"][4]["fill_mm"] is None


def test_what_it_is_for_brings_its_cautions(told):
    says = {row["code"]: row["says"] for row in rows("cautions")}
    _, ben, cleo, dov, _ = told["guests"]
    assert says["drinking"] in ben["mind"]
    assert says["animals-in-heat"] in ben["mind"]
    assert says["warm-spray"] in dov["mind"]
    assert says["drinking"] not in cleo["mind"]
    assert all(says["mosquitoes"] in one["mind"] for one in told["guests"])


def test_the_order_is_five_kits_with_the_spares_of_the_whole(told, kit):
    once = {}
    for part in by_stand(kit):
        key = part.part, part.called or part.size
        once[key] = once.get(key, 0.0) + part.count
    order = {(one["part"], one["called"] or one["size"]): one for one in told["order"]}
    assert set(order) == set(once)
    for key, one in order.items():
        most = 5 * once[key]
        assert most - 1e-6 <= one["count"] < most + (1.0 if one["unit"] == "each" else 1e-6)
    singly = {(p.part, p.called or p.size): p.spares for p in take_off(kit).order}
    assert all(one["spares"] <= 5 * singly[key] + 1e-9 for key, one in order.items())
    hangers = order["gutter hanger", "4 in"]
    # eight a kit; one of twenty spare, two at least
    assert (hangers["count"], hangers["spares"]) == (40, 2)


def test_the_cut_plan_cuts_all_and_no_more_than_there_is(told):
    cut, pieces = {}, {}
    for row in told["cuts"]:
        key = row["part"], row["called"]
        used_m = sum(row["lengths_m"]) + told["saw_m"] * (len(row["lengths_m"]) - 1)
        assert used_m <= row["stock_m"] + 1e-4
        cut[key] = cut.get(key, 0.0) + row["pieces"] * sum(row["lengths_m"])
        pieces[key] = pieces.get(key, 0) + row["pieces"]
    for one in told["order"]:
        if one["stock_pieces"] is not None:
            key = one["part"], one["called"]
            assert cut[key] == pytest.approx(one["count"], abs=1e-3)
            spare_m = one["count"] + one["spares"]
            assert one["stock_pieces"] == max(pieces[key], math.ceil(spare_m / one["stock_m"]))


def test_tools_are_for_what_is_built(told, kit):
    tools = {one["tool"]: one["count"] for one in told["tools"]}
    assert tools["gloves and eye protection"] == 5
    assert tools["tape measure, 25 ft"] == 3
    assert "punch for drip tube" not in tools
    known = {row["part"] for row in rows("parts")}
    for row in rows("workshop_tools"):
        assert set(filter(None, row["parts"].split("|"))) <= known
    assert {row["caution"] for row in rows("workshop_uses")} <= {
        row["code"] for row in rows("cautions")
    }


def test_one_page_each(told, written):
    pages = pages_of(written["pages.pdf"])
    assert len(pages) == 5
    for guest, page in zip(told["guests"], pages, strict=True):
        assert guest["name"] in page
    assert "0.17 in of rain fills your 92.2 gal" in pages[0]
    assert "Measure along the wall" in pages[2]
    assert "fills your" not in pages[2]
    assert "374 gal, before any is lost" in pages[4]  # 600 ft2 of an inch: 50 ft3 of 7.4805 gal


def test_a_page_each_for_a_metric_kit_with_all_its_parts(sheet):
    kit = kit_of(None)
    kit = replace(kit, place=replace(kit.place, show="metric"))
    made = workshop(read_guests(sheet), kit)
    pages = pages_of(workshop_papers(made, day=DAY)["pages.pdf"])
    assert len(pages) == 5
    assert "mm of rain fills your" in pages[0]
    assert "litres of one millimetre" in pages[2]


def test_the_build_day_and_the_order(told, written):
    text = " ".join(pages_of(written["build-day.pdf"]))
    for words in ("Parts for all", "Tools", "Cut plan", "to be measured", "Never enter a tank"):
        assert words in text, words
    sheet = load_workbook(io.BytesIO(written["order.xlsx"]))["order"]
    lines = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=5)]
    assert len(lines) == len(told["order"])
    assert all(line[4] == f"=C{row}+D{row}" for row, line in enumerate(lines, 5))


def test_faults_are_sentences(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text("town,roof\nFord,metal\n")
    with pytest.raises(BadRoofs, match="column name is missing"):
        read_guests(path)
    path.write_text("name,town\nAda,Ford\n,Ford\n")
    with pytest.raises(BadRoofs, match="line has no name") as refused:
        read_guests(path)
    assert refused.value.faults[0].line == 3


def test_a_kit_without_a_tank_is_refused(sheet, kit):
    with pytest.raises(BadRoofs, match="no tank"):
        workshop(read_guests(sheet), replace(kit, tanks=()))


def test_the_command(sheet):
    done = subprocess.run(
        [sys.executable, "-m", "eavewell", "workshop", sheet.name],
        cwd=sheet.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert (sheet.parent / "sign-in-papers" / "pages.pdf").is_file()


def test_who_signs_twice_gets_one_kit_and_a_sentence(tmp_path, kit):
    path = tmp_path / "list.csv"
    path.write_text(
        "name,town,roof,what for\n"
        "Ada Wren,Ford,24 x 40 ft metal,tomatoes\n"
        "Ben Thrush,Ford,unknown,\n"
        "ada  wren,FORD,unknown,chickens\n"
        "Ben Thrush,Mill,900 sq ft,\n"
        "Ben Thrush,Ford,1200 sq ft shingle,\n"
    )
    guests = read_guests(path)
    assert [(one.name, one.town, one.lines) for one in guests] == [
        ("Ada Wren", "Ford", (2, 4)),
        ("Ben Thrush", "Ford", (3, 6)),
        ("Ben Thrush", "Mill", (5,)),
    ]
    ada, ben, _ = guests
    # the roof that was told stays; what it is for is both
    assert (ada.area_m2, ada.finish) == (pytest.approx(960 * FT2), "metal")
    assert ada.what_for == "tomatoes; chickens"
    assert "animals-in-heat" in ada.cautions
    assert (ben.area_m2, ben.finish) == (pytest.approx(1200 * FT2), "asphalt shingle")
    told = workshop(guests, kit)
    assert told["kits"] == len(told["guests"]) == 3
    assert [one.partition(":")[0] for one in told["signed_again"]] == [
        "Ada Wren of Ford stands in lines 2 and 4 of the list",
        "Ben Thrush of Ford stands in lines 3 and 6 of the list",
    ]


def test_an_empty_list_is_told_how_a_sign_in_list_is_headed(tmp_path):
    (tmp_path / "list.csv").write_text("name,town\n")
    with pytest.raises(BadRoofs, match="name, town, roof, what for"):
        read_guests(tmp_path / "list.csv")


def test_spares_of_pipe_are_bought_where_no_rest_holds_them(kit):
    """Eight kits: 192 ft of 2 in pipe leave 8 ft of 20 pieces; 5 in 100 spare are 9.6 ft: 21."""
    (pipe,) = (
        one
        for one in workshop([Guest(str(at), "", "", "", None, "", ()) for at in range(8)], kit)[
            "order"
        ]
        if (one["part"], one["called"] or one["size"]) == ("pvc pipe", "2 in")
    )
    assert pipe["count"] == pytest.approx(192 * 0.3048)
    assert pipe["spares"] == pytest.approx(9.6 * 0.3048)
    assert pipe["stock_pieces"] == 21
