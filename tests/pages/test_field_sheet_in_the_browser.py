"""The field sheet on a telephone, from a file, without server and network; then brought back."""

import json
import os
from pathlib import Path

import pytest
import tomlkit
from fastapi.testclient import TestClient
from playwright.sync_api import expect

from eavewell.web.app import pages

BOOKS = json.loads((Path(__file__).parents[1] / "files" / "level_books.json").read_text())
AXE = Path(__file__).parent / "built" / "axe.min.js"
METRE = {"ft": 0.3048, "m": 1.0}
TAGS = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]


@pytest.fixture
def client(folder):
    """What asks the server without one running."""
    app = pages(folder, mark="ours")
    return TestClient(app, base_url="http://127.0.0.1", headers={"x-eavewell-mark": "ours"})


@pytest.fixture
def sheet(browser, client, tmp_path):
    """The file on a telephone with its network off; whatever it asks or complains of fails."""
    file = tmp_path / "visit.html"
    file.write_text(client.get("/sites/barrels/field-sheet.html").text, encoding="utf-8")
    telephone = browser.new_context(
        viewport={"width": 360, "height": 740}, has_touch=True, accept_downloads=True
    )
    telephone.set_offline(True)
    page, heard, asked = telephone.new_page(), [], []
    page.on("console", lambda said: heard.append(said.text))
    page.on("pageerror", lambda said: heard.append(str(said)))
    page.on("request", lambda one: asked.append(one.url))
    page.goto(file.as_uri())
    yield page
    telephone.close()
    assert heard == []
    assert {one.split(":")[0] for one in asked} <= {"file", "blob", "data"}


def _book(page, lines):
    for row, (point, back, fore) in enumerate(lines):
        if row >= page.locator("#book li").count():
            page.locator("#more").tap()
        for name, typed in (("point", point), ("back", back), ("fore", fore)):
            page.locator("#book li").nth(row).locator(f".{name} input").fill(typed)


def test_filled_reloaded_and_brought_back_twice(sheet, client, folder):
    eave = sheet.locator("#roof-0-eave")
    point = eave.get_attribute("data-point")
    _book(sheet, [["datum", "4.00", ""], [point, "", "-4.50"], ["datum", "", "4.00"]])
    assert "no length" in sheet.locator("#closure").inner_text()
    _book(sheet, [["datum", "12.50", ""], [point, "", "4.25"], ["datum", "", "12.50"]])
    assert "8.250 ft (8 ft 3 in)" in sheet.locator("#book output").nth(1).inner_text()
    sheet.locator("#fill").tap()
    sheet.locator("#roof-0-birds .value").select_option("many")
    if sheet.locator("#roof-0-birds details").count():
        sheet.locator("#roof-0-birds summary").tap()
    sheet.locator("#roof-0-birds .note").fill("doves: ✓  a “roost”, \t 30 or so")
    sheet.locator("#roof-0-birds .how").select_option("told")
    picture = {"name": "IMG.jpg", "mimeType": "image/jpeg", "buffer": b"not looked at here"}
    sheet.locator("#roof-0-eave .photo").set_input_files(picture)
    sheet.locator("#roof-0-eave .shots li").wait_for()
    sheet.reload()
    assert eave.locator(".value").input_value() == "8.250 ft"
    assert sheet.locator("#roof-0-birds .how").input_value() == "told"
    assert sheet.locator("#roof-0-eave .shots").inner_text().strip() == "roof-0-eave-1.jpg"
    assert sheet.locator("#book li").nth(1).locator(".fore input").input_value() == "4.25"
    with sheet.expect_download() as shot:
        sheet.locator("#shots").tap()
    assert Path(shot.value.path()).read_bytes() == b"not looked at here"
    with sheet.expect_download() as taken:
        sheet.locator("#take").tap()
    text = Path(taken.value.path()).read_text(encoding="utf-8")
    assert text == sheet.locator("#block").input_value()
    _bring_twice(client, folder / "barrels" / "site.toml", text=text)


def _bring_twice(client, file, *, text):
    for time in range(2):
        files = {"file": ("visit.txt", text.encode())}
        shown = client.post("/sites/barrels/field-sheet/file", files=files).text
        assert "did not come whole" not in shown and "doves" in shown
        assert ('name="taken"' in shown) is (time == 0)
        told = {"text": text, "taken": ["roof-0-eave", "roof-0-birds"]}
        assert client.post("/sites/barrels/field-sheet/take", data=told).status_code == 200
        roof = tomlkit.parse(file.read_text())["roof"][0]
        assert (roof["eave"], roof["birds"]) == ("8.250 ft", "many")
    assert len(list((file.parent / "field-sheets").iterdir())) == 1


def test_two_windows_of_one_telephone_write_over_nothing(sheet):
    other = sheet.context.new_page()
    other.goto(sheet.url)
    sheet.locator("#roof-0-eave .value").fill("8 ft")
    other.locator("#roof-0-slope .value").fill("4 in 12")
    _book(other, [["datum", "4.00", ""]])
    expect(sheet.locator("#roof-0-slope .value")).to_have_value("4 in 12")
    sheet.locator("#roof-0-eave .value").fill("8 ft 5 in")
    for page in (other, sheet):
        expect(page.locator("#roof-0-eave .value")).to_have_value("8 ft 5 in")
        page.reload()
        told = page.locator("#block").input_value()
        assert told.count("item:") == 2 and "reading: datum | 4.00 |" in told
    other.locator("#clear").tap()
    other.locator("#clear-yes").tap()
    expect(sheet.locator("#roof-0-eave .value")).to_have_value("")
    sheet.locator("#roof-0-slope .value").fill("5 in 12")
    assert sheet.locator("#block").input_value().count("item:") == 1


def test_a_visit_can_be_begun_anew(sheet):
    sheet.locator("#roof-0-eave .value").fill("9 ft")
    sheet.locator("#clear").tap()
    with sheet.expect_navigation():
        sheet.locator("#clear-yes").tap()
    assert sheet.locator("#roof-0-eave .value").input_value() == ""


def test_large_enough_for_a_glove_and_nothing_beyond_the_edge(sheet):
    small = sheet.evaluate(
        "[...document.querySelectorAll('input,select,button,textarea')]"
        ".filter((one) => one.offsetParent && one.offsetHeight < 48).map((one) => one.outerHTML)"
    )
    assert small == []
    assert sheet.evaluate("document.documentElement.scrollWidth") <= 360
    sheet.set_viewport_size({"width": 320, "height": 600})
    assert sheet.evaluate("document.documentElement.scrollWidth") <= 320


def test_the_browser_reckons_the_books_as_worked_by_hand(sheet):
    for one in BOOKS["books"]:
        made = sheet.evaluate(
            "([book, unit, most]) => { const way = eavewellLevels; return way.levelled(book.map("
            "([point, back, fore]) => ({ point, back: way.rodMetres(back, unit),"
            " fore: way.rodMetres(fore, unit) })), most); }",
            [one["book"], one["rod"], 10],
        )
        metre = METRE[one["rod"]]
        assert made["levels"] == pytest.approx([each * metre for each in one["levels"]], abs=1e-9)
        assert made["heights"] == pytest.approx([each * metre for each in one["heights"]], abs=1e-9)
        assert made["closes"] is one["closes"]
    for typed, unit, metres in BOOKS["metres"]:
        found = sheet.evaluate(
            "([text, unit]) => eavewellLevels.rodMetres(text, unit)", [typed, unit]
        )
        assert found == pytest.approx(metres, abs=1e-12)


def test_within_the_pages_as_in_the_file(window, address, client):
    page = window(width=360, height=740)
    page.goto(f"{address}/sites/barrels/field-sheet")
    page.locator("#roof-0-eave .value").fill("8 ft 2 in")
    text = page.locator("#block").input_value()
    page.goto(f"{address}/sites/barrels/field-sheet/bring")
    page.get_by_label("Or its text").fill(text)
    page.get_by_role("button", name="Look at it").nth(1).click()
    page.get_by_role("button", name="Take what is ticked").click()
    page.get_by_text("Taken as one change").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


@pytest.mark.skipif(
    not AXE.exists() and not os.environ.get("CI"), reason="the judge of pages is not there"
)
def test_nothing_for_the_judge_of_pages(sheet, window, address):
    page = window(width=360, height=740)
    page.goto(f"{address}/sites/barrels/field-sheet/bring")
    for one in (sheet, page):
        one.evaluate(AXE.read_text(encoding="utf-8"))
        told = one.evaluate(
            "(tags) => axe.run({ runOnly: tags, resultTypes: ['violations'] })", TAGS
        )
        assert [(each["id"], each["nodes"][0]["html"]) for each in told["violations"]] == []
