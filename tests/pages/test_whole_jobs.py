"""Each job from a blank page to the zip of its papers: described, changed, taken away."""

import re
import tomllib
from io import BytesIO
from zipfile import ZipFile

import pytest
from playwright.sync_api import expect

# one field of each reach: the parts to open, the field, what is typed, and whose words change
CHANGES = {
    "barrels": (
        ("p-place", "f-place-show", "metric", "rain"),
        ("p-roof-0", "f-roof-0-plan", "18 ft x 12 ft", "roofs"),
        ("p-tank-0", "f-tank-0-count", "3", "answer"),
        ("p-use-0", "f-use-0-name", "drinking bowl", "answer"),
        ("p-line-0", "f-line-0-length", "6 ft", "outlets"),
    ),
    "low-eaves": (
        ("p-roof-0", "f-roof-0-slope", "5 in 12", "roofs"),
        ("p-pipe-0", "f-pipe-0-length", "140 ft", "gutters"),
        ("p-lift-0", "f-lift-0-start", "3 ft", "lift"),
        ("p-tank-0", "f-tank-0-each", "16,000 gal", "tanks"),
        ("p-use-0", "f-use-0-leak", "6 %", "uses"),
        ("p-line-0", "f-line-0-length", "200 ft", "outlets"),
        ("p-ground", "f-ground-area", "2 acre", "ground"),
    ),
    "part-year": (
        ("p-pipe-0", "f-pipe-0-size", "3 in", "gutters"),
        ("p-tank-0", "f-tank-0-each", "2,000 gal", "tanks"),
        ("p-use-0", "f-use-0-people", "3", "answer"),
        ("p-line-0", "f-line-0-length", "60 ft", "outlets"),
    ),
    "whole-house": (
        ("p-roof-0", "f-roof-0-plan", "50 ft x 44 ft", "answer"),
        ("p-pipe-0", "f-pipe-0-length", "90 ft", "gutters"),
        ("p-lift-0", "f-lift-0-limit", "200 gal/day", "answer"),
        ("p-tank-0", "f-tank-0-each", "2,600 gal", "tanks"),
        ("p-use-0", "f-use-0-people", "4", "answer"),
        ("p-line-0", "f-line-0-length", "80 ft", "outlets"),
        ("p-water", "f-water-transmittance", "60 %", "treatment"),
        ("p-ground", "f-ground-area", "2 acre", "ground"),
        ("p-money", "f-money-load", "$310", "money"),
    ),
}


def begun(page, address, *, name, like):
    """The page of a site that was begun on the register."""
    page.goto(address)
    form = page.locator("form[hx-post='/sites']")
    form.get_by_label("Name").fill(name)
    form.get_by_label("Like").select_option(like)
    form.get_by_role("button", name="Begin").click()
    page.wait_for_url(f"{address}/sites/*")


def opened(page, part):
    found = page.locator(f"#{part}")
    if found.get_attribute("open") is None:
        found.locator("> summary").click()
        expect(page.locator(f"#b-{part} .entries").first).to_be_attached()


def typed(page, field, words):
    """Type into a field and leave it; a field that is unknown yet is unfolded first."""
    found = page.locator(f"#{field}")
    found.evaluate("one => one.closest('details.unsaid')?.setAttribute('open', '')")
    with page.expect_response(re.compile("/change$")) as answer:
        if found.evaluate("one => one.tagName") == "SELECT":
            found.select_option(words)
        else:
            found.fill(words)
            found.press("Tab")
    assert answer.value.status == 200, answer.value.text()


def zipped(page, address, name):
    """What lies in the zip that the papers' page gives."""
    page.goto(f"{address}/sites/{name}")
    page.locator("#papers a[href$='/papers']").click()
    taken = page.locator("a[href$='/papers.zip']")
    expect(taken).to_be_visible(timeout=60_000)
    shown = page.locator(".paper-set a[download]").evaluate_all(
        "all => all.map((one) => decodeURIComponent(new URL(one.href).pathname))"
    )
    with page.expect_download(timeout=60_000) as download:
        taken.click()
    data = download.value.path().read_bytes()
    with ZipFile(BytesIO(data)) as bundle:
        assert bundle.testzip() is None
        return {one: bundle.read(one) for one in bundle.namelist()}, shown


def every_paper_is_whole(papers, shown):
    files = {one.partition("/papers/file/")[2] for one in shown if "/papers/file/" in one}
    assert files <= set(papers)
    assert {one.rpartition(".")[2] for one in papers} >= {"pdf", "svg", "dxf", "csv", "xlsx", "ics"}
    begins = {"pdf": b"%PDF-", "svg": b"<", "xlsx": b"PK", "ics": b"BEGIN:VCALENDAR"}
    for name, data in papers.items():
        assert data.startswith(begins.get(name.rpartition(".")[2], b"")), name
        assert len(data) > 40, name


def a_way_out_is_made_at_a_touch(page, file):
    opened(page, "p-tank-0")
    opened(page, "p-tank-0-overflow_pipe")
    typed(page, "f-tank-0-overflow_pipe-air_break", "0 in")
    found = page.locator(".finding", has_text="air break").locator("button.fix")
    found.click()
    expect(page.locator("#notes")).to_contain_text("Changed")
    expect(found).to_have_count(0)
    tank = tomllib.loads(file.read_text(encoding="utf-8"))["tank"][0]
    assert tank["overflow_pipe"]["air_break"] != "0 in"


@pytest.mark.parametrize("like", CHANGES)
def test_from_a_starter_to_its_papers(folder, address, window, like):
    page = window()
    begun(page, address, name=f"my {like}", like=like)
    file = folder / f"my {like}" / "site.toml"
    expect(page.locator("#title")).to_have_text(f"my {like}")
    for part, field, words, reach in CHANGES[like]:
        opened(page, part)
        before = page.locator(f"#r-{reach}").inner_text()
        typed(page, field, words)
        assert words in file.read_text(encoding="utf-8")
        page.wait_for_function(
            "([id, before]) => document.getElementById(id).innerText !== before",
            arg=[f"r-{reach}", before],
        )
    if like == "whole-house":
        a_way_out_is_made_at_a_touch(page, file)
    expect(page.locator("#faults section")).to_have_count(0)
    papers, shown = zipped(page, address, f"my {like}")
    every_paper_is_whole(papers, shown)


def test_from_nothing_to_its_papers_by_the_forms_alone(folder, address, window):
    page = window()
    begun(page, address, name="out of nothing", like="blank")
    expect(page.locator("#faults li")).to_have_count(4)
    opened(page, "p-place")
    typed(page, "f-place-latitude", "30.9")
    typed(page, "f-place-longitude", "-98.4")
    opened(page, "p-rain")
    typed(page, "f-rain-climate", "dry-uplands")
    for part, fields in (
        ("roof", {"plan": "14 ft x 12 ft", "finish": "corrugated iron", "eave": "7 ft"}),
        (
            "tank",
            {
                "each": "55 gal",
                "count": "2",
                "diameter": "22 in",
                "height": "33 1/2 in",
                "base": "1 ft 8 in",
                "outlet": "3 in",
                "overflow": "31 in",
                "overflow_to": "mulch basin",
            },
        ),
        ("use", {"class": "outdoor", "people": "1", "each": "2 gal/day"}),
    ):
        page.locator(f"#a-l-{part}").click()
        expect(page.locator(f"#p-{part}-0[open] .entries").first).to_be_attached()
        for field, words in fields.items():
            typed(page, f"f-{part}-0-{field}", words)
    expect(page.locator("#f-roof-0-drains_to option")).not_to_have_count(1)
    typed(page, "f-roof-0-drains_to", "tank")
    row = page.locator("[id^='f-use-0-draws_from-1']").first
    row.evaluate("one => one.closest('details.unsaid')?.setAttribute('open', '')")
    row.select_option("tank")
    with page.expect_response(re.compile("/change$")):
        row.press("Tab")
        page.locator("#title").focus()
    expect(page.locator("#faults section")).to_have_count(0)
    expect(page.locator("#r-answer")).to_contain_text("would have supplied")
    expect(page.locator("svg.drawing")).to_be_visible()
    expect(page.locator("#plate svg")).to_be_visible()
    papers, shown = zipped(page, address, "out of nothing")
    every_paper_is_whole(papers, shown)
