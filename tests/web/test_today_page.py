"""The first screen of a site with a log; the barrels are invented, and so is what they hold."""

import math
from datetime import datetime
from pathlib import Path

import jsonschema
import pytest
from fastapi.testclient import TestClient

from eavewell.answers.schema import schema
from eavewell.web import logged
from eavewell.web.app import pages

INCH_M, GALLON_L = 0.0254, 3.785411784
# two barrels of 22 in across, their outlet 3 in above the floor
ABOVE_OUTLET_L = 2.0 * math.pi / 4.0 * (22.0 * INCH_M) ** 2 * 1000.0 * INCH_M
NOW = datetime.fromisoformat("2027-03-05T09:00:00-06:00")
TODAY = "/sites/barrels/today"


@pytest.fixture(autouse=True)
def _clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(logged, "now", lambda: NOW)


@pytest.fixture
def read(client: TestClient) -> TestClient:
    """A server whose barrels stood at 25 in yesterday and at 20 in today."""
    for said, when in (("25 in", "yesterday 8:00"), ("20 in", "8:00")):
        assert client.post(TODAY, data={"value": said, "when": when}).status_code == 200
    return client


def line_of(client: TestClient) -> dict[str, object]:
    (line,) = client.get("/sites.json").json()["sites"]
    return dict(line)


def test_without_a_log_the_design_comes_first_and_none_is_begun(
    client: TestClient, sites: Path
) -> None:
    assert 'href="/sites/barrels"' in client.get("/").text
    assert (line_of(client)["log"], line_of(client)["last_reading"]) == (False, None)
    page = client.get(TODAY).text
    assert "Never read." in page and "its level was never read" in page
    assert "Begin its log" in client.get("/sites/barrels").text
    assert client.get("/sites/barrels/today.json").status_code == 422
    assert not (sites / "barrels" / "log.db").exists()


def test_a_reading_begins_the_log_and_the_register_leads_to_today(read: TestClient) -> None:
    line = line_of(read)
    assert (line["log"], line["last_reading"]) == (True, "2027-03-05")
    home = read.get("/").text
    assert f'href="{TODAY}"' in home and "5 Mar 2027" in home
    assert f'href="{TODAY}"' in read.get("/sites/barrels").text


def test_the_page_says_until_when_and_shows_the_last_reading(read: TestClient) -> None:
    page = read.get(TODAY).text
    answer = read.get("/sites/barrels/today.json").json()
    jsonschema.validate(answer, schema("today"))
    assert answer["held_l"] == pytest.approx(17.0 * ABOVE_OUTLET_L, rel=1e-6)
    assert answer["since_yesterday_l"] == pytest.approx(-5.0 * ABOVE_OUTLET_L, rel=1e-6)
    ahead = read.get("/sites/barrels/ahead.json").json()
    (supply,) = ahead["supplies"]
    until = supply["week"]["until"] or supply["plan"]["until"]
    year, month, day = until.split("-")
    months = {"03": "Mar", "04": "Apr", "05": "May"}
    assert f"<b>Lasts until {int(day)} {months[month]} {year}</b>" in page
    assert "One inch of rain = " in page and "To reach 1 " in page
    assert "<b>20 in</b>, 5 Mar 2027 8:00" in page
    assert '<svg class="stick"' in page and "20 in: 5 Mar 2027" in page
    assert " style=" not in page


def test_what_is_read_at_this_moment_counts(client: TestClient) -> None:
    page = client.post(TODAY, data={"value": "20 in"}).text
    assert "Lasts until" in page and "Written: 20 in." in page


def test_what_is_no_figure_is_not_written_and_stays_as_it_was_typed(
    client: TestClient, sites: Path
) -> None:
    client.post(TODAY, data={"value": "25 in", "when": "yesterday 8:00"})
    answer = client.post(TODAY, data={"value": "twenty"})
    assert answer.status_code == 422
    assert 'value="twenty"' in answer.text and 'aria-invalid="true"' in answer.text
    assert "<b>25 in</b>" in client.get(TODAY).text
    assert client.post(TODAY, data={"value": "20 in", "when": "noonish"}).status_code == 422


def test_what_is_no_figure_begins_no_log(client: TestClient, sites: Path) -> None:
    assert client.post(TODAY, data={"value": "twenty"}).status_code == 422
    assert client.post("/sites/barrels/due", data={"task": "paint"}).status_code == 422
    assert client.post(f"{TODAY}/{2**70}", data={"value": "20 in"}).status_code == 422
    assert client.post(f"{TODAY}/7", data={"value": "20 in"}).status_code == 422
    assert not (sites / "barrels" / "log.db").exists()


def test_a_doubtful_figure_is_written_questioned_and_can_be_mended(read: TestClient) -> None:
    """200 in is far above the rim of a barrel of 33 1/2 in."""
    asked = read.post(TODAY, data={"value": "200 in", "when": "8:30"})
    assert asked.status_code == 200
    assert "Mend it" in asked.text and "Keep it" in asked.text and 'value="200 in"' in asked.text
    way = asked.text.split('hx-post="/sites/barrels/today/')[1].split('"')[0]
    assert read.post(f"{TODAY}/{way}", data={"value": "twenty"}).status_code == 422
    mended = read.post(f"{TODAY}/{way}", data={"value": "20 in"})
    assert mended.status_code == 200 and "Mend it" not in mended.text
    assert "<b>20 in</b>, 5 Mar 2027 8:30" in mended.text


def test_leaks_and_what_is_due_are_told(read: TestClient) -> None:
    jsonschema.validate(read.get("/sites/barrels/leaks.json").json(), schema("leaks"))
    assert f'hx-get="{TODAY}/found" hx-trigger="load"' in read.get(TODAY).text
    assert "<h3>Found</h3>" in read.get("/sites/barrels/leaks").text
    page = read.get(f"{TODAY}/found").text
    due = read.get("/sites/barrels/due.json").json()["due"]
    assert due[0]["task"] in page


def test_a_log_that_cannot_be_read_is_told_and_the_register_goes_on(
    read: TestClient, sites: Path
) -> None:
    (sites / "barrels" / "log.db").write_bytes(b"no database" * 200)
    answer = read.get(TODAY)
    assert answer.status_code == 422 and "log" in answer.text
    assert line_of(read)["last_reading"] is None


def test_a_file_that_is_not_whole_leaves_the_last_figures_and_its_faults(
    read: TestClient, sites: Path
) -> None:
    file = sites / "barrels" / "site.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('each = "55 gal"', 'each = "55 gallops"'), encoding="utf-8")
    page = read.get(TODAY)
    assert page.status_code == 200 and "gallops" in page.text and "Lasts until" in page.text


def test_a_file_that_never_was_whole_leads_to_the_design(read: TestClient, sites: Path) -> None:
    file = sites / "barrels" / "site.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('each = "55 gal"', 'each = "55 gallops"'), encoding="utf-8")
    begun_again = TestClient(pages(sites, mark="ours"), base_url="http://127.0.0.1")
    answer = begun_again.get(TODAY, follow_redirects=False)
    assert answer.status_code == 303 and answer.headers["location"] == "/sites/barrels"


def test_a_log_kept_in_an_office_is_not_asked_by_the_register(
    client: TestClient, sites: Path
) -> None:
    file = sites / "barrels" / "site.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(f'{text}\n[log]\nkept_in = "postgresql://nobody@192.0.2.1/logs"\n')
    assert (line_of(client)["log"], line_of(client)["last_reading"]) == (True, None)
    assert "in its log" in client.get("/").text


def test_a_last_reading_that_is_questioned_says_so(read: TestClient) -> None:
    told = '<span class="fault">questioned</span>'
    for page in ("today", "log"):
        assert told not in read.get(f"/sites/barrels/{page}").text
    # a barrel is 33 1/2 in high
    assert "It is written as questioned." in read.post(TODAY, data={"value": "90 in"}).text
    for page in ("today", "log"):
        assert told in read.get(f"/sites/barrels/{page}").text


def test_a_bare_figure_is_in_the_unit_beside_the_field(client: TestClient) -> None:
    assert '<span class="unit" id="unit">in</span>' in client.get(TODAY).text
    assert "Written: 20 in." in client.post(TODAY, data={"value": "20"}).text
    # 2 ft 1 in is 25 in
    assert client.post(TODAY, data={"value": "2 1", "when": "yesterday 8:00"}).status_code == 200
    log = client.get("/sites/barrels/log.json").json()
    assert math.isclose(log["gauges"][0]["last"]["value"], 20 * INCH_M)
    assert {one["says"] for one in log["entries"]} == {"20 in", "2 ft 1 in"}
