"""The log in the browser: at the desk, by the keyboard, and on a telephone without a network."""

import os
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import expect

from eavewell.web.app import pages

AXE = Path(__file__).parent / "built" / "axe.min.js"
ASKED = "['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']"
# what is in order is not written out
ONLY = f"{{runOnly: {ASKED}, resultTypes: ['violations'], selectors: false}}"
FOUND = f"""axe.run({ONLY}).then((found) => found.violations.flatMap(
    (one) => one.nodes.map((node) => `${{one.id}}: ${{node.html.slice(0, 200)}}`)))"""
SMALL = """() => [...document.querySelectorAll("input, select, button, textarea")]
    .filter((one) => one.checkVisibility() && one.type !== "checkbox" && one.offsetHeight < 48)
    .map((one) => one.outerHTML.slice(0, 100))"""
WIDE = "document.documentElement.scrollWidth > innerWidth ? [document.title] : []"
LOG = "/sites/barrels/log"
NOON = {"timezone_id": "America/Chicago", "locale": "en-US"}


@pytest.fixture
def client(folder):
    """What asks the server without one running."""
    app = pages(folder, mark="ours")
    return TestClient(app, base_url="http://127.0.0.1", headers={"x-eavewell-mark": "ours"})


@pytest.fixture
def telephone(browser, client, tmp_path):
    """The file on a telephone: no server was ever begun and the network is off."""
    file = tmp_path / "log.html"
    file.write_text(client.get(f"{LOG}/phone.html").text, encoding="utf-8")
    held = browser.new_context(
        viewport={"width": 360, "height": 740}, has_touch=True, accept_downloads=True, **NOON
    )
    held.set_offline(True)
    page, heard, asked = held.new_page(), [], []
    page.on("console", lambda said: heard.append(said.text))
    page.on("pageerror", lambda said: heard.append(str(said)))
    page.on("request", lambda one: asked.append(one.url))
    page.goto(file.as_uri())
    yield page
    held.close()
    assert heard == []
    assert {one.split(":")[0] for one in asked} <= {"file", "blob", "data"}


def entries(client):
    return client.get(f"{LOG}.json").json()["entries"]


def _again(telephone):
    """The page anew; a browser hands what a page keeps to its store in its own milliseconds."""
    telephone.wait_for_timeout(300)
    telephone.reload()


def _written(page, said, *, gauge=0):
    place = page.locator(".gauge").nth(gauge)
    place.locator(".said").fill(said)
    place.locator(".write").tap()
    return place


def _handed_back(page):
    with page.expect_download() as taken:
        page.locator("#take").tap()
    text = Path(taken.value.path()).read_text(encoding="utf-8")
    assert text == page.locator("#block").input_value()
    return text


def test_kept_on_a_telephone_and_handed_back_twice(telephone, client):
    telephone.locator("#who").fill("Ann")
    place = _written(telephone, "20")
    expect(place.locator(".last")).to_contain_text("Last: 20 in")
    expect(place.locator(".last")).to_contain_text("Ann")
    note = telephone.locator("form[data-kind=note]")
    telephone.get_by_text("A note", exact=True).tap()
    note.locator("[name=says]").fill("doves: ✓  a “roost”, \t 30 or so")
    note.locator(".write").tap()
    _again(telephone)
    expect(telephone.locator("#kept li")).to_have_count(2)
    assert telephone.locator("#who").input_value() == "Ann"
    text = _handed_back(telephone)
    for time in range(2):
        shown = client.post(f"{LOG}/telephone/text", data={"text": text}).text
        assert "did not come whole" not in shown and "doves" in shown
        assert shown.count(" checked>") == (2 if time == 0 else 0)
        told = {"text": text, "taken": ["1", "2"]}
        assert client.post(f"{LOG}/telephone/take", data=told).status_code == 200
        assert {(one["kind"], one["who"]) for one in entries(client)} == {
            ("reading", "Ann"),
            ("note", "Ann"),
        }
    assert len(entries(client)) == 2


def test_a_figure_hardly_true_is_asked_and_mended_on_the_telephone(telephone):
    place = _written(telephone, "410")
    question = place.locator(".question")
    expect(question).to_contain_text("410 in is above the highest")
    assert telephone.locator("#kept li").count() == 1
    question.get_by_role("button", name="Mend it").tap()
    assert place.locator(".said").input_value() == "410 in"
    _written(telephone, "21")
    expect(question).to_be_hidden()
    assert telephone.locator("#kept li b").all_inner_texts() == ["barrels: 21 in"]
    _written(telephone, "411")
    question.get_by_role("button", name="Keep it").tap()
    expect(question).to_be_hidden()
    button = telephone.locator("#kept li button").first
    for told, words in ((1, "Put it back"), (2, "Take it out")):
        button.tap()
        _again(telephone)
        assert button.inner_text() == words
        assert telephone.locator("#block").input_value().count("entry:") == told


def test_two_windows_of_one_telephone_write_over_nothing(telephone):
    other = telephone.context.new_page()
    other.goto(telephone.url)
    _written(telephone, "20")
    expect(telephone.locator("#kept li")).to_have_count(1)
    _written(other, "21")
    expect(other.locator("#kept li")).to_have_count(2)
    _again(telephone)
    expect(telephone.locator("#kept li")).to_have_count(2)
    assert telephone.locator("#block").input_value().count("entry:") == 2


def test_another_time_has_the_offset_of_its_day(telephone):
    place = telephone.locator(".gauge").first
    place.locator("summary").tap()
    for day, offset in (("2026-01-04", "-06:00"), ("2026-07-04", "-05:00")):
        place.locator("[name=at]").fill(f"{day}T07:30")
        _written(telephone, "20")
        assert f"at: {day}T07:30:00{offset}" in telephone.locator("#block").input_value()


def test_where_a_browser_keeps_nothing_that_is_said(telephone):
    telephone.add_init_script("Storage.prototype.setItem = () => { throw new Error('full'); };")
    _again(telephone)
    _written(telephone, "20")
    expect(telephone.locator("#state")).to_contain_text("keeps nothing")
    assert "said: 20 in" in telephone.locator("#block").input_value()


def test_begun_anew_after_it_was_handed_back(telephone):
    _written(telephone, "20")
    telephone.locator("#clear").tap()
    telephone.locator("#clear-yes").tap()
    _again(telephone)
    assert "Nothing yet" in telephone.locator("#kept").inner_text()


def test_for_a_glove_and_within_the_edge(telephone):
    assert telephone.evaluate(SMALL) == []
    for width in (360, 320):
        telephone.set_viewport_size({"width": width, "height": 600})
        assert telephone.evaluate(WIDE) == []


def test_written_asked_and_mended_at_the_desk(window, address, client):
    page = window()
    page.goto(f"{address}{LOG}")
    page.locator("#g-0-said").fill("20")
    page.keyboard.press("Enter")
    expect(page.locator("#g-0 .done")).to_contain_text("Written: 20 in")
    expect(page.locator("#entries")).to_contain_text("20 in")
    page.locator("#g-0-said").fill("410")
    page.locator("#g-0").get_by_role("button", name="Write it").click()
    expect(page.locator("#g-0 .question")).to_contain_text("above the rim")
    expect(page.locator("#g-0-said")).to_be_focused()
    page.locator("#g-0-said").fill("21 in")
    page.get_by_role("button", name="Mend it").click()
    expect(page.locator("#entries s")).to_have_text("410 in")
    # the table comes first, then the field: what is typed between the two would be exchanged
    expect(page.locator("#g-0 .done")).to_contain_text("Mended")
    page.wait_for_timeout(200)
    page.locator("#g-0-said").fill("tall")
    page.keyboard.press("Enter")
    expect(page.locator("#g-0 .fault")).to_be_visible()
    assert page.locator("#g-0-said").input_value() == "tall"
    assert [one["says"] for one in entries(client)] == ["21 in", "20 in"]


def test_what_could_not_be_sent_stays_in_its_field(window, served, client):
    page = window(forgiven=("ERR_CONNECTION_REFUSED", "htmx:"))
    page.goto(f"{served.address}{LOG}")
    served.stop()
    page.locator("#g-0-said").fill("20")
    page.keyboard.press("Enter")
    expect(page.locator("#lost")).to_contain_text("does not answer")
    served.begin()
    expect(page.locator("#lost")).to_have_count(0)
    assert page.locator("#g-0-said").input_value() == "20"
    page.locator("#g-0-said").press("Enter")
    expect(page.locator("#g-0 .done")).to_contain_text("Written")
    assert len(entries(client)) == 1


def test_put_right_in_its_own_row(window, address):
    page = window(width=360, height=740)
    page.goto(f"{address}{LOG}")
    page.locator("#k-note > summary").click()
    page.locator("#k-note-says").fill("frog")
    page.locator("#k-note").get_by_role("button", name="Write it").click()
    page.locator("#e-n1").get_by_role("button").click()
    page.locator("#c-says").fill("toad")
    page.locator("#c-why").fill("looked again")
    page.get_by_role("button", name="Put it right").click()
    expect(page.locator("#e-n1")).to_contain_text("toad")
    expect(page.locator("#e-n1 s")).to_have_text("frog")
    assert page.evaluate(WIDE) == []


def test_a_month_by_the_keyboard_alone(window, address, client):
    page = window()
    page.goto(f"{address}{LOG}/month?month=2026-03")
    page.locator("[name=hour]").fill("7:30")
    page.locator("#said-1-0").focus()
    for figure in ("20", "", "21", "410"):
        page.keyboard.type(figure)
        page.keyboard.press("Enter")
    page.keyboard.press("ArrowUp")
    expect(page.locator("#said-4-0")).to_be_focused()
    page.reload()
    assert page.locator("#said-3-0").input_value() == "21"
    page.get_by_role("button", name="Write the month").click()
    expect(page.locator("#sheet [role=alert]")).to_contain_text("Line of the 4.")
    assert entries(client) == []
    page.get_by_role("button", name="Keep them and write all").click()
    expect(page.locator("#sheet .done")).to_contain_text("3 written")
    assert page.locator("#said-3-0").input_value() == ""
    page.reload()
    assert page.locator("#said-3-0").input_value() == ""
    assert len(entries(client)) == 3


def test_a_file_seen_before_it_is_taken(window, address, client):
    page = window(width=360, height=740)
    page.goto(f"{address}{LOG}/bring")
    rows = b"when,level (in)\n2026-03-04 07:30,20\n2026-03-05 07:30,410\n"
    page.locator("#b-file").set_input_files(
        {"name": "stick.csv", "mimeType": "text/csv", "buffer": rows}
    )
    page.locator("#b-gauges").fill(client.get(f"{LOG}.json").json()["gauges"][0]["gauge"])
    page.locator("#bring").get_by_role("button", name="Look at it").click()
    expect(page.locator("#understood")).to_contain_text("above the rim")
    assert entries(client) == [] and page.evaluate(WIDE) == []
    page.get_by_role("button", name="Take it whole").click()
    expect(page.locator("#understood")).to_contain_text("2 readings written")
    assert len(entries(client)) == 2


@pytest.mark.skipif(
    not AXE.exists() and not os.environ.get("CI"), reason="the judge of pages is not there"
)
def test_nothing_for_the_judge_of_pages(telephone, window, address, client):
    """As they stand, and with a question, a correction and a refusal open."""
    for said in ("20", "410"):
        client.post(f"{LOG}/reading", data={"gauge": "barrels", "said": said})
    page, found = window(bypass_csp=True), {}
    for name in ("", "/month", "/bring", "/phone"):
        page.set_viewport_size({"width": 1400, "height": 800})
        page.goto(f"{address}{LOG}{name}")
        if not name:
            page.locator("#g-0-said").fill("410")
            page.keyboard.press("Enter")
            page.locator("#g-0 .question").wait_for()
            page.locator("#e-r1").get_by_role("button").click()
            page.locator("tr.correct").wait_for()
            page.locator("#k-load > summary").click()
        page.evaluate(AXE.read_text(encoding="utf-8"))
        for width in (1400, 360):
            page.set_viewport_size({"width": width, "height": 740})
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme)
                found[name, width, scheme] = page.evaluate(FOUND)
            found[name, width, "too wide"] = page.evaluate(WIDE)
    _written(telephone, "410")
    telephone.evaluate(AXE.read_text(encoding="utf-8"))
    found["telephone"] = telephone.evaluate(FOUND)
    found = {key: value for key, value in found.items() if value}
    assert found == {}, found
