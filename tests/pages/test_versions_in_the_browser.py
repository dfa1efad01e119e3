"""A choice is picked off the plate with keys and kept as a version; the page fits a phone."""

import shutil

from playwright.sync_api import expect

WEIGH = "\n[weigh]\ncounts = [2, 3, 4]\n"


def test_a_choice_is_picked_by_keyboard_and_kept(folder, address, window):
    with (folder / "barrels" / "site.toml").open("a", encoding="utf-8") as file:
        file.write(WEIGH)
    page = window(width=360, height=740)
    page.set_default_timeout(30_000)
    page.goto(f"{address}/sites/barrels/versions")
    dots = page.locator(".plate.front a")
    expect(dots.last).to_be_visible(timeout=30_000)
    dots.last.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#picked h3")).to_be_visible(timeout=30_000)
    assert page.locator(".plate.front a[aria-current]").count() == 1
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.locator("#picked input[name=version]").fill("picked off the plate")
    page.keyboard.press("Enter")
    expect(page.locator(".beside thead")).to_contain_text("picked off the plate", timeout=30_000)
    kept = folder / "barrels" / "versions" / "picked off the plate.toml"
    assert "count = 4" in kept.read_text(encoding="utf-8")


def test_a_name_that_cannot_be_is_refused_in_words(folder, address, window):
    page = window()
    page.set_default_timeout(30_000)
    page.goto(f"{address}/sites/barrels/versions")
    page.fill("input[name=version]", "../up")
    page.keyboard.press("Enter")
    expect(page.locator("#notes")).to_contain_text("begins with a letter", timeout=30_000)
    assert not (folder / "barrels" / "versions").exists()


def test_what_comes_later_is_told_in_the_region_that_stays(folder, address, window):
    kept = folder / "barrels" / "versions"
    kept.mkdir()
    shutil.copy(folder / "barrels" / "site.toml", kept / "as bought.toml")
    page = window()
    page.set_default_timeout(30_000)
    page.goto(f"{address}/sites/barrels/versions")
    live = page.locator("#notes").element_handle()
    for words in ("The versions are worked out.", "The choices are weighed."):
        if "weighed" in words:
            page.get_by_role("button", name="Weigh the sizes").click()
        expect(page.locator("#notes")).to_have_text(words, timeout=30_000)
        assert live.evaluate("one => one.isConnected && one.ariaLive") == "polite"
    assert page.locator(".versions [aria-live]").count() == 0
