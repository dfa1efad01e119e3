"""Bad input, two windows, a server that stops, the keyboard alone, a dragged rim: nothing lost."""

import re
import shutil
import tomllib

import pytest
from playwright.sync_api import expect

STOPPED = ("ERR_CONNECTION", "ERR_EMPTY_RESPONSE", "htmx:afterRequest", "htmx:sendError")


@pytest.fixture
def folder(folder):
    """Barrels alone, whose tanks have no size: nothing is reckoned, so that its page is quick."""
    for name in ("low-eaves", "part-year", "whole-house"):
        shutil.rmtree(folder / name)
    return folder


def unsized(folder):
    file = folder / "barrels" / "site.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub(r"(?m)^(each|diameter|height) = .*\n", "", text), encoding="utf-8")
    return file


def roof(file):
    return tomllib.loads(file.read_text(encoding="utf-8"))["roof"][0]


def roof_opened(page, address):
    page.goto(f"{address}/sites/barrels")
    page.click("#p-roof-0 > summary")
    expect(page.locator("#f-roof-0-eave")).to_be_visible()


def put(page, field, words):
    page.locator(f"#{field}").fill(words)
    page.locator(f"#{field}").press("Tab")


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("eave", "seven"),
        ("eave", "-900 ft"),
        ("eave", "7 gal"),
        ("eave", "<b>7</b> ft"),
        ("eave", "9" * 400),
        ("plan", "14 x"),
    ],
)
def test_what_cannot_be_stays_as_typed_with_its_reason(folder, address, window, field, words):
    file = unsized(folder)
    before, page = file.read_bytes(), window()
    roof_opened(page, address)
    put(page, f"f-roof-0-{field}", words)
    typed = page.locator(f"#f-roof-0-{field}")
    expect(typed).to_have_attribute("aria-invalid", "true")
    expect(typed).to_have_value(words)
    reason = page.locator(f"#{typed.get_attribute('aria-describedby')} .fault")
    assert len(reason.inner_text()) > 12
    assert file.read_bytes() == before


def test_uploads_that_cannot_be_are_refused_in_words(folder, address, window):
    page = window()
    page.goto(address)
    bring = page.locator("form[hx-post='/sites/bring']")
    for name, data in (
        ("zip.toml", b"PK\3\4\0\0\0\0"),
        ("empty.toml", b""),
        ("half.toml", b'name = "half'),
    ):
        bring.get_by_label("Name").fill("brought")
        bring.get_by_label("File").set_input_files(
            {"name": name, "mimeType": "text/plain", "buffer": data}
        )
        bring.get_by_role("button", name="Bring in").click()
        expect(page.locator("#notes .fault, #lost").last).to_contain_text(re.compile(r"\w{3,}"))
        assert not (folder / "brought").exists()
        page.reload()
    page.goto(f"{address}/sites/barrels/rain")
    drop = page.locator("#drop")
    for name, data in (("zip.csv", b"PK\3\4" + bytes(400)), ("words.csv", b"no rain\nat all\n")):
        drop.locator("input[type=file]").set_input_files(
            {"name": name, "mimeType": "text/csv", "buffer": data}
        )
        drop.get_by_role("button", name="Bring in").click()
        expect(page.locator("#said-file .fault")).to_contain_text(re.compile(r"\w{3,}"))
        page.reload()
    said = tomllib.loads((folder / "barrels" / "site.toml").read_text(encoding="utf-8"))
    assert said["rain"] == {"climate": "dry-uplands"}


def test_an_upload_too_large_is_refused_in_words(address, window, tmp_path):
    page, large = window(forgiven=("413",)), tmp_path / "large.csv"
    with large.open("wb") as out:
        out.truncate(200_000_000)
    page.goto(f"{address}/sites/barrels/rain")
    page.locator("#drop input[type=file]").set_input_files(large)
    page.locator("#drop").get_by_role("button", name="Bring in").click()
    expect(page.locator("#lost")).to_contain_text("too large")


def test_other_fields_changed_in_two_windows_are_both_kept(folder, address, window):
    file, one, other = unsized(folder), window(), window()
    for page in (one, other):
        roof_opened(page, address)
    put(one, "f-roof-0-eave", "9 ft")
    expect(one.locator("#s-p-roof-0")).to_contain_text("eave 9 ft")
    put(other, "f-roof-0-plan", "20 ft x 12 ft")
    expect(other.locator("#outside")).to_contain_text("changed outside")
    assert (roof(file)["eave"], roof(file)["plan"]) == ("9 ft", "20 ft x 12 ft")


def test_a_server_that_stops_loses_nothing(folder, served, window):
    file, page = unsized(folder), window(forgiven=STOPPED)
    roof_opened(page, served.address)
    put(page, "f-roof-0-eave", "8 ft")
    expect(page.locator("#s-p-roof-0")).to_contain_text("eave 8 ft")
    served.stop()
    assert roof(file)["eave"] == "8 ft"
    put(page, "f-roof-0-eave", "8 ft 6 in")
    put(page, "f-roof-0-plan", "16 ft x 12 ft")
    expect(page.locator("#lost")).to_contain_text("does not answer")
    expect(page.locator("#f-roof-0-eave")).to_have_value("8 ft 6 in")
    served.begin()
    expect(page.locator("#lost")).to_have_count(0)
    expect(page.locator("#s-p-roof-0")).to_contain_text("eave 8 ft 6 in")
    expect(page.locator("#e-f-roof-0-plan .clash")).to_have_count(0)
    expect(page.locator("#s-p-roof-0")).to_contain_text("16 ft x 12 ft")
    assert (roof(file)["eave"], roof(file)["plan"]) == ("8 ft 6 in", "16 ft x 12 ft")


def focused(page):
    return page.evaluate("document.activeElement.id || document.activeElement.tagName")


def test_by_keyboard_alone_in_the_order_of_the_page(folder, address, window):
    file, page = unsized(folder), window()
    page.goto(f"{address}/sites/barrels")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    tops, last = [], ""
    for _ in range(400):
        page.keyboard.press("Tab")
        place = page.evaluate("""() => { const one = document.activeElement;
            const reach = one.closest("main") && one.closest("section.reach");
            return reach ? reach.id : one.tagName; }""")
        if place == "BODY":
            break
        tops += [place] if place != last else []
        last = place
    order = page.locator("section.reach").evaluate_all("all => all.map((one) => one.id)")
    assert [one for one in tops if one in order] == order
    page.locator("#p-roof-0 > summary").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#f-roof-0-eave")).to_be_visible()
    page.locator("#f-roof-0-eave").focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("11 ft")
    page.keyboard.press("Enter")
    expect(page.locator("#s-p-roof-0")).to_contain_text("eave 11 ft")
    assert focused(page) == "f-roof-0-eave"
    assert roof(file)["eave"] == "11 ft"
    page.locator("#c-p-roof-0").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#p-roof-1[open]")).to_be_attached()
    expect(page.locator("#f-roof-1-name")).to_be_visible()
    page.wait_for_load_state("networkidle")
    page.locator("#t-p-roof-1").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#p-roof-1")).to_have_count(0)
    expect(page.locator("#notes button")).to_be_focused()


def test_a_rim_is_dragged_and_moved_by_keys_and_the_plate_follows(folder, address, window):
    file, page = folder / "barrels" / "site.toml", window()
    page.goto(f"{address}/sites/barrels")
    grip = page.locator(".grip[data-address='tank/0/height']")
    plate, before = page.locator("#plate").inner_html(), stated(file)
    box = grip.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y - 20, steps=4)
    page.wait_for_function("was => document.getElementById('plate').innerHTML !== was", arg=plate)
    with page.expect_response(re.compile("/move$")):
        page.mouse.up()
    dragged = stated(file)
    assert dragged != before
    link = page.locator("a.thing[href='#p-tank-0']").first
    link.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#p-tank-0[open] > summary")).to_be_focused()
    grip.focus()
    with page.expect_response(re.compile("/move$")):
        page.keyboard.press("ArrowDown")
    assert stated(file) not in (before, dragged)
    expect(grip).to_be_focused()


def stated(file):
    return tomllib.loads(file.read_text(encoding="utf-8"))["tank"][0]["height"]
