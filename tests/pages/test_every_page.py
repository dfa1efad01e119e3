"""Every page, in the light and in the dark, wide and on a phone: nothing that shuts anyone out."""

import os
from pathlib import Path

import pytest
from playwright.sync_api import expect

AXE = Path(__file__).parent / "built" / "axe.min.js"
ASKED = "['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']"
# what is in order is not written out
ONLY = f"{{runOnly: {ASKED}, resultTypes: ['violations'], selectors: false}}"
FOUND = f"""axe.run({ONLY}).then((found) => found.violations.flatMap(
    (one) => one.nodes.map((node) => `${{one.id}}: ${{node.html.slice(0, 200)}}`)))"""
SITE = "/sites/barrels"
PAGES = {
    "register": "/",
    "site": SITE,
    "rain": f"{SITE}/rain",
    "trace": f"{SITE}/trace",
    "versions": f"{SITE}/versions",
    "papers": f"{SITE}/papers",
    "field sheet": f"{SITE}/field-sheet",
    "bring back": f"{SITE}/field-sheet/bring",
    "log": f"{SITE}/log",
    "month of paper": f"{SITE}/log/month",
    "brought into the log": f"{SITE}/log/bring",
    "log on a telephone": f"{SITE}/log/phone",
    "whole log": f"{SITE}/log/whole",
    "text": f"{SITE}/text",
    "today": f"{SITE}/today",
    "ahead": f"{SITE}/ahead",
    "leaks": f"{SITE}/leaks",
    "reconciled": f"{SITE}/reconciled",
    "due": f"{SITE}/due",
    "tests": f"{SITE}/tests",
    "faults": f"{SITE}/faults",
    "one fault": f"{SITE}/faults?symptom=1&said=1%3Dyes",
    "year": f"{SITE}/year",
    "data": "/data",
}
READY = {
    "register": ".sites .figure",
    "site": "#r-tanks h3",
    "rain": "#days canvas",
    "papers": ".paper-set",
    "today": "#h-leaks",
    "ahead": ".fan",
}
BUTTON_PX, TARGET_PX = 44, 24
# links within words are as high as the words; what the drawing links to can be reached below it
SMALL = f"""() => [...document.querySelectorAll("a, button, input, select, summary, textarea")]
    .filter((one) => one.checkVisibility() && !one.closest("svg, .skip, p, li, td:not(.acts)"))
    .filter((one) => one.type !== "hidden" && !one.matches(".ticks input, [type=checkbox]"))
    .map((one) => [one, one.getBoundingClientRect()])
    .filter(([one, box]) => box.width < {TARGET_PX} || box.height <
        (one.tagName === "BUTTON" ? {BUTTON_PX} : {TARGET_PX}))
    .map(([one, box]) => `${{one.outerHTML.slice(0, 90)}} ${{box.width}} x ${{box.height}}`)"""


def shown(page, address, name):
    page.goto(f"{address}{PAGES[name]}")
    if name in READY:
        expect(page.locator(READY[name]).first).to_be_attached(timeout=60_000)
    if name == "site":
        page.locator("#p-tank-0 > summary").click()
        expect(page.locator("#f-tank-0-count")).to_be_visible()


def test_nothing_is_found_on_any_page(address, window):
    """Wide and on a phone, in light and dark; at twice the size nothing runs out of the window."""
    if not AXE.exists() and not os.environ.get("CI"):
        pytest.skip("axe-core was not brought")
    page, found = window(bypass_csp=True), {}
    page.goto(f"{address}{PAGES['today']}")
    page.get_by_label("On the stick").fill("20 in")
    page.get_by_role("button", name="Write it").click()
    for name in PAGES:
        page.set_viewport_size({"width": 1400, "height": 800})
        shown(page, address, name)
        page.evaluate(AXE.read_text(encoding="utf-8"))
        for width in (1400, 360):
            page.set_viewport_size({"width": width, "height": 740})
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme)
                found[name, width, scheme] = page.evaluate(FOUND)
            found[name, width, "too small"] = page.evaluate(SMALL)
        for width in (360, 640):
            page.set_viewport_size({"width": width, "height": 400})
            found[name, width, "too wide"] = page.evaluate(
                "document.documentElement.scrollWidth > innerWidth ? [document.title] : []"
            )
    assert {key: value for key, value in found.items() if value} == {}


def test_the_dark_room_is_dark(address, window):
    page = window(color_scheme="dark")
    page.goto(f"{address}{SITE}")
    paper, ink = page.evaluate(
        "[getComputedStyle(document.body).backgroundColor, getComputedStyle(document.body).color]"
    )
    assert sum(map(int, paper[4:-1].split(", "))) < 150
    assert sum(map(int, ink[4:-1].split(", "))) > 600


def test_where_movement_is_not_wanted_nothing_moves(address, window):
    page = window(reduced_motion="reduce")
    moving = """[...document.querySelectorAll("*")].filter((one) => {
        const how = getComputedStyle(one);
        return how.scrollBehavior === "smooth" || parseFloat(how.transitionDuration) > 0
            || how.animationName !== "none"; }).map((one) => one.tagName)"""
    for name in ("register", "site", "versions", "trace", "rain"):
        shown(page, address, name)
        assert page.evaluate(moving) == [], name


def test_on_a_phone_by_touch(folder, address, window):
    page = window(width=360, height=740, has_touch=True, is_mobile=True)
    page.goto(f"{address}{SITE}")
    page.locator("a.thing[href='#p-tank-0']").first.dispatch_event("click")
    expect(page.locator("#p-tank-0[open]")).to_be_attached()
    count = page.locator("#f-tank-0-count")
    count.tap()
    count.fill("4")
    page.locator("#title").tap()
    expect(page.locator("#s-p-tank-0")).to_contain_text("4 x")
    assert "count = 4" in (folder / "barrels" / "site.toml").read_text(encoding="utf-8")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
