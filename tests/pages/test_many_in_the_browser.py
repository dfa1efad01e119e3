"""Many roofs and built systems in the browser: looked for, ordered, leafed; nobody is shut out."""

import os
from datetime import date

import pytest
from playwright.sync_api import expect
from tests.district.made_district import folder_of
from tests.pages.test_every_page import AXE, FOUND, SMALL

from eavewell.district.register import Register
from eavewell.district.register_answer import register_answer
from eavewell.district.register_papers import register_files, write_files
from eavewell.district.run import Hands, Sources, screen_district
from eavewell.district.shared_site import SharedSite
from eavewell.site.share import Share

RUN = "/roofs/valley/roofs-screened"
PAGES = ("/roofs", f"{RUN}?size=1&id=1&sort=supplied_share", "/built?sort=site", "/built/round")
TODAY = date(2027, 6, 1)


@pytest.fixture
def many(folder):
    """The folder of sites with a screening of 130 roofs and a register of 60 systems."""
    valley = folder / "valley"
    folder_of(valley, 130, years=2)
    sources = Sources(valley / "roofs.csv", valley / "district.toml", valley / "records")
    screen_district(sources, out=valley / "roofs-screened", hands=Hands(1))
    towns = ("Tallgrass", "Fernridge")
    sites = [
        SharedSite(f"site-{at:02d}", "working", TODAY, share=Share((), towns[at % 2]))
        for at in range(60)
    ]
    answer = register_answer(Register("valley", TODAY, tuple(sites)))
    write_files(register_files(answer, days=30), folder / "register")
    return folder


def test_nothing_is_found_on_these_pages(many, address, window):
    """Wide and on a phone, in light and dark; at twice the size nothing runs out of the window."""
    if not AXE.exists() and not os.environ.get("CI"):
        pytest.skip("axe-core was not brought")
    page, found = window(bypass_csp=True), {}
    for one in PAGES:
        page.set_viewport_size({"width": 1400, "height": 800})
        page.goto(f"{address}{one}")
        page.evaluate(AXE.read_text(encoding="utf-8"))
        for width in (1400, 360):
            page.set_viewport_size({"width": width, "height": 740})
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme)
                found[one, width, scheme] = page.evaluate(FOUND)
            found[one, width, "too small"] = page.evaluate(SMALL)
        for width in (360, 640):
            page.set_viewport_size({"width": width, "height": 400})
            found[one, width, "too wide"] = page.evaluate(
                "document.documentElement.scrollWidth > innerWidth ? [document.title] : []"
            )
    assert {key: value for key, value in found.items() if value} == {}


def test_roofs_are_looked_for_ordered_and_leafed_by_keyboard(many, address, window):
    page = window()
    page.goto(f"{address}/roofs")
    page.get_by_role("link", name="Quailwater valley").press("Enter")
    expect(page.get_by_text("1 to 50 of 130")).to_be_visible()
    page.get_by_role("link", name="On", exact=True).press("Enter")
    expect(page.get_by_text("51 to 100 of 130")).to_be_visible()
    page.get_by_role("link", name="Supplied", exact=True).press("Enter")
    expect(page.locator("th[aria-sort=descending]")).to_have_text("Supplied")
    expect(page.get_by_text("1 to 50 of 130")).to_be_visible()
    page.locator("select[name=district]").select_option("Upper")
    page.locator("select[name=size]").select_option(index=2)
    page.get_by_role("button", name="Look").press("Enter")
    expect(page.locator("th[aria-sort=descending]")).to_have_text("Supplied")
    expect(page.locator("select[name=size]")).to_have_value("2")
    assert set(page.locator(".looked-through tbody tr > td:nth-child(2)").all_inner_texts()) == {
        "Upper"
    }
    page.get_by_role("link", name="Show all").press("Enter")
    expect(page.get_by_text("of 130", exact=False).first).to_be_visible()


def test_without_scripts_it_works_as_well(many, address, window):
    page = window(java_script_enabled=False)
    page.goto(f"{address}/built")
    page.locator("select[name=town]").select_option("Fernridge")
    page.get_by_role("button", name="Look").click()
    expect(page.get_by_text("1 to 30 of 30")).to_be_visible()


def test_the_sites_are_read_at_a_press(folder, address, window):
    page = window()
    page.goto(f"{address}/")
    page.get_by_role("link", name="Built systems").click()
    page.get_by_role("button", name="Read the sites").click()
    expect(page.get_by_text("1 to 4 of 4")).to_be_visible(timeout=60_000)
    expect(page.get_by_role("row", name="whole-house")).to_contain_text("no log")
