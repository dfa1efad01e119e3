"""A person fills in the forms: in place, in two windows, with keys, and takes it back."""

import re
import tomllib

from playwright.sync_api import expect


def unsized(folder, name):
    """A site whose tanks have no size: nothing is reckoned, so that its page answers at once."""
    file = folder / name / "site.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub(r"(?m)^(each|diameter|height) = .*\n", "", text), encoding="utf-8")
    return file


def said(file, *way):
    found = tomllib.loads(file.read_text(encoding="utf-8"))
    for step in way:
        found = found[step]
    return found


def test_a_field_is_changed_refused_and_taken_back(folder, address, window):
    file = unsized(folder, "barrels")
    page = window()
    page.goto(f"{address}/sites/barrels")
    page.click("#p-roof-0 > summary")
    eave = page.locator("#f-roof-0-eave")
    first = eave.input_value()
    eave.fill("2.9 m")
    eave.press("Tab")
    expect(page.locator("#s-p-roof-0")).to_contain_text("2.9 m")
    assert said(file, "roof", 0, "eave") == "2.9 m"
    eave.fill("29")
    eave.press("Tab")
    expect(page.locator("#e-f-roof-0-eave .fault")).to_contain_text("unit")
    expect(eave).to_have_value("29")
    page.locator("#main h2").first.click()
    page.keyboard.press("Control+z")
    expect(page.locator("#s-p-roof-0")).to_contain_text(first)
    expect(page.locator("#f-roof-0-eave")).to_have_value(first)
    page.keyboard.press("Control+Shift+z")
    expect(page.locator("#s-p-roof-0")).to_contain_text("2.9 m")


def test_a_tank_is_added_needs_its_size_and_is_taken_out(folder, address, window):
    file = unsized(folder, "barrels")
    page = window(width=360, height=800)
    page.goto(f"{address}/sites/barrels")
    page.click("#a-l-tank")
    expect(page.locator("#p-tank-1[open]")).to_be_visible()
    page.locator("#faults a[href='#p-tank-1']").click()
    page.locator("#f-tank-1-distances-1-0").fill("well")
    page.locator("#f-tank-1-distances-1-1").fill("90 ft")
    page.locator("#f-tank-1-each").fill("55 gal")
    page.locator("#f-tank-1-each").press("Tab")
    expect(page.locator("#faults a[href='#p-tank-1']")).to_have_count(0)
    expect(page.locator("#f-tank-1-distances-2-0")).to_be_visible()
    assert said(file, "tank", 1) == {
        "name": "tank",
        "distances": {"well": "90 ft"},
        "each": "55 gal",
    }
    page.locator("#t-p-tank-1").click()
    expect(page.locator("#p-tank-1")).to_have_count(0)
    page.locator("#notes button").click()
    expect(page.locator("#p-tank-1")).to_be_visible()


def test_two_windows_lose_nothing(folder, address, window):
    file = unsized(folder, "barrels")
    one, other = window(), window()
    for page in (one, other):
        page.goto(f"{address}/sites/barrels")
        page.click("#p-roof-0 > summary")
    for page, typed in ((one, "9 ft"), (other, "10 ft")):
        page.locator("#f-roof-0-eave").fill(typed)
        page.locator("#f-roof-0-eave").press("Tab")
        expect(one.locator("#s-p-roof-0")).to_contain_text("eave 9 ft")
    clash = other.locator("#e-f-roof-0-eave .clash")
    expect(clash).to_contain_text("9 ft")
    expect(other.locator("#f-roof-0-eave")).to_have_value("10 ft")
    assert said(file, "roof", 0, "eave") == "9 ft"
    clash.get_by_text("Keep mine").click()
    expect(clash).to_have_count(0)
    assert said(file, "roof", 0, "eave") == "10 ft"
    expect(one.locator("#outside")).to_contain_text("changed outside", timeout=9000)
    one.locator("#outside button").click()
    expect(one.locator("#f-roof-0-eave")).to_have_value("10 ft")
    expect(one.locator("#outside")).to_be_empty()


def test_a_broken_file_is_mended(folder, address, window):
    file = folder / "barrels" / "site.toml"
    good = file.read_text(encoding="utf-8")
    file.write_text(good.replace('name = "', "name = ", 1), encoding="utf-8")
    page = window()
    page.goto(f"{address}/sites/barrels")
    page.locator("a[data-line]").click()
    page.locator("#text").fill(unsized(folder, "low-eaves").read_text(encoding="utf-8"))
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#section")).to_be_attached()
    expect(page.locator("main")).not_to_contain_text("cannot be read")
