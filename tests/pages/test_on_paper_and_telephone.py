"""What is seen on a sheet of paper and on the small window of a telephone."""

from playwright.sync_api import expect

TELEPHONE = {"width": 390, "height": 844}
# a letter sheet between its margins, at 96 to the inch
SHEET = {"width": 720, "height": 980}
WIDE_OF_PAGE = "document.documentElement.scrollWidth"
EDGE = "(one) => one.getBoundingClientRect().right"


def test_a_sheet_shows_the_whole_section_and_nothing_to_press(address, window):
    page = window(**SHEET)
    page.goto(f"{address}/sites/low-eaves")
    page.emulate_media(media="print")
    assert page.locator("svg.drawing").evaluate(EDGE) <= SHEET["width"]
    expect(page.locator("button:visible")).to_have_count(0)
    expect(page.locator("input:visible")).to_have_count(0)
    assert page.evaluate(WIDE_OF_PAGE) <= SHEET["width"]


def test_a_sheet_of_the_rain_keeps_its_spells_and_fits(address, window):
    page = window()
    page.goto(f"{address}/sites/low-eaves/rain")
    expect(page.locator("#days canvas")).to_have_count(2)
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator("#days canvas").last.evaluate(EDGE) <= SHEET["width"]
    expect(page.locator(".look").first).to_be_visible()
    page.emulate_media(media="screen")
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert page.locator("#days canvas").last.evaluate(EDGE) > SHEET["width"]


def test_the_record_is_moved_through_by_pressing_alone(address, window):
    page = window(**TELEPHONE, has_touch=True)
    page.goto(f"{address}/sites/barrels/rain")
    expect(page.locator("#days canvas")).to_have_count(2)
    at = page.locator("#days-at")
    page.get_by_role("button", name="Nearer").tap()
    # 21,914 days; a quarter of them, 5,478.5, off either end
    expect(at).to_have_text("1980-12-31 to 2010-12-31")
    page.get_by_role("button", name="Earlier").tap()  # by a quarter of what is shown, 2,739.25
    expect(at).to_have_text("1973-07-02 to 2003-07-02")
    for _ in range(3):
        page.get_by_role("button", name="Earlier").tap()
    expect(at).to_have_text("1966-01-01 to 1996-01-01")
    page.get_by_role("button", name="The whole").tap()
    expect(at).to_have_text("1966-01-01 to 2025-12-31")


def test_a_refusal_is_seen_where_one_stands_and_goes_with_the_next_letter(address, window):
    page = window(**TELEPHONE, has_touch=True)
    page.goto(address)
    form = page.locator("form[hx-post='/sites']")
    form.get_by_label("Name").fill("barn / north")
    form.get_by_role("button", name="Begin").tap()
    refused = page.locator("#notes .fault")
    expect(refused).to_contain_text("cannot name a folder")
    expect(refused).to_be_in_viewport(ratio=1)
    form.get_by_label("Name").press_sequentially("s")
    expect(refused).to_have_count(0)


def test_the_note_of_a_row_is_read_without_moving_its_table(address, window):
    page = window(**TELEPHONE, has_touch=True)
    page.goto(f"{address}/sites/barrels")
    notes = page.locator("tr.note span")
    assert notes.count() > 3
    assert all(one.evaluate(EDGE) <= TELEPHONE["width"] for one in notes.all())
    assert page.evaluate(WIDE_OF_PAGE) <= TELEPHONE["width"]
