"""Entries get into the log by the page: taken, questioned, put right, and never twice."""

import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from fastapi.testclient import TestClient

LOG = "/sites/barrels/log"


@pytest.fixture
def tank(client: TestClient) -> str:
    """The first gauge that a hand reads."""
    return str(told(client)["gauges"][0]["gauge"])


def told(client: TestClient, of: str = "") -> dict[str, Any]:
    answer = client.get(f"{LOG}.json", params={"of": of})
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def read(client: TestClient, **words: str) -> Any:
    return client.post(f"{LOG}/reading", data=words)


def write(client: TestClient, **words: str) -> Any:
    return client.post(f"{LOG}/entry", data=words)


def test_looking_begins_no_log(client: TestClient, sites: Path) -> None:
    before = sorted(sites.rglob("*"))
    for way in ("", ".json", "/month", "/month.json", "/phone", "/phone.json", "/phone.html"):
        assert client.get(f"{LOG}{way}").status_code == 200, way
    assert "Never read" in client.get(LOG).text and told(client)["entries"] == []
    assert sorted(sites.rglob("*")) == before


def test_a_bare_figure_has_the_unit_beside_its_field(client: TestClient, tank: str) -> None:
    page = read(client, gauge=tank, said="20", at="2026-03-04T07:30", who="Ann").text
    assert "Written: 20 in" in page and "Last: <b>20 in</b>" in page and "Ann" in page
    last = told(client)["gauges"][0]["last"]
    assert last["value"] == pytest.approx(20 * 0.0254) and last["says"] == "20 in"
    assert 'id="entries"' in page and 'hx-swap-oob="true"' in page
    again = read(client, gauge=tank, said="20", at="2026-03-04T07:30", who="Ann").text
    assert "In the log already" in again
    assert len(told(client)["entries"]) == 1


def test_what_is_no_figure_is_refused_beside_the_field(client: TestClient, tank: str) -> None:
    for words in ("high", "20 gal", "", "1e5"):
        answer = read(client, gauge=tank, said=words)
        assert answer.status_code == 422 and 'role="alert"' in answer.text, words
    answer = read(client, gauge="mian", said="20")
    assert answer.status_code == 422 and "There is no gauge" in answer.text
    assert told(client)["entries"] == []


def test_what_is_hardly_true_is_written_and_asked_and_mended(client: TestClient, tank: str) -> None:
    asked = read(client, gauge=tank, said="410 in", at="2026-03-04 07:30")
    assert asked.status_code == 200 and "Keep it" in asked.text and "above the rim" in asked.text
    way = re.search(r'hx-post="([^"]+/log/mend/[0-9]+)"', asked.text)
    assert way and told(client)["entries"][0]["note"].startswith("Questioned")
    refused = client.post(way[1], data={"said": "tall"})
    assert refused.status_code == 422 and "above the rim" in refused.text
    mended = client.post(way[1], data={"said": "21 in", "who": "Ann"}).text
    assert "Mended: 21 in" in mended and "Keep it" not in mended
    one = told(client)["entries"][0]
    assert one["says"] == "21 in" and one["note"] == ""
    assert [(was["says"], was["who"]) for was in one["before"]] == [("410 in", "Ann")]
    assert "<s>410 in</s>" in client.get(LOG).text


def test_two_figures_at_one_instant(client: TestClient, tank: str) -> None:
    read(client, gauge=tank, said="20", at="2026-03-04 07:30")
    other = read(client, gauge=tank, said="21", at="2026-03-04 07:30")
    assert other.status_code == 422 and "has another reading" in other.text
    assert "correct r1" in other.text and "eavewell log" not in other.text


def test_every_other_kind(client: TestClient, tank: str) -> None:
    at = "2026-03-04T09:00"
    for words in (
        {"kind": "load", "to": tank, "volume": "250", "came": at, "price": "40"},
        {"kind": "done", "task": "clean the screen", "at": at, "found": "leaves"},
        {"kind": "tested", "of": "E. coli", "found": "absent", "at": at, "tap": "kitchen"},
        {"kind": "outage", "of": "power", "began": at},
        {"kind": "note", "says": "<b>a frog</b>", "at": at},
    ):
        for done in ("Written", "in the log already"):
            answer = write(client, **words)
            assert answer.status_code == 200 and done in answer.text, words
    found = told(client)
    assert {one["kind"] for one in found["entries"]} == {
        "load",
        "done",
        "tested",
        "outage",
        "note",
    }
    assert [one["what"] for one in found["out"]] == ["power out"]
    assert "<b>a frog" not in client.get(LOG).text
    assert [one["says"] for one in told(client, "loads")["entries"]] == ["250 gal"]


def test_what_follows_is_said_at_once(client: TestClient, tank: str) -> None:
    found = {"kind": "tested", "of": "E. coli", "found": "3 /100 mL", "at": "2026-03-04T09:00"}
    said = write(client, **found).text
    assert "Written. E. coli, water for animals: no limit is stated for it here" in said


@pytest.mark.parametrize(
    "words",
    [
        {"kind": "load", "to": "nowhere", "volume": "250"},
        {"kind": "load", "volume": "250"},
        {"kind": "done"},
        {"kind": "tested", "of": "E. coli", "found": "wet"},
        {"kind": "tested", "of": "unicorns", "found": "3"},
        {"kind": "outage", "of": "power", "began": "2026-03-04T09:00", "ended": "2026-03-04T08:00"},
        {"kind": "note", "says": "frog", "at": "the day before"},
        {"kind": "done", "task": "clean the screens", "at": "2199-03-04T09:00"},
        {"kind": "outage", "of": "unicorn", "began": "2026-03-04T09:00"},
    ],
    ids=lambda one: " ".join(one.values()),
)
def test_refused_in_its_own_place_with_what_was_typed(
    client: TestClient, words: dict[str, str]
) -> None:
    answer = write(client, **words)
    assert answer.status_code == 422 and f'id="k-{words["kind"]}"' in answer.text
    assert 'role="alert"' in answer.text and 'id="entries"' not in answer.text
    assert told(client)["entries"] == []


def test_an_entry_is_put_right_box_by_box(client: TestClient, tank: str) -> None:
    write(client, kind="load", to=tank, volume="250 gal", came="2026-03-04T09:00", who="Ann")
    number = told(client)["entries"][0]["number"]
    form = client.get(f"{LOG}/entries", params={"number": number}).text
    assert 'value="250 gal"' in form and 'value="2026-03-04T09:00"' in form
    stood = {"to": tank, "volume": "250 gal", "came": "2026-03-04T09:00", "who": "Ann"}
    for words in (stood | {"why": "x"}, stood | {"volume": "300 gal"}):
        refused = client.post(f"{LOG}/correct/{number}", data=words)
        assert refused.status_code == 422 and 'role="alert"' in refused.text
    right = stood | {"volume": "300", "why": "read the bill", "by": "Bo"}
    table = client.post(f"{LOG}/correct/{number}", data=right).text
    assert "<s>250 gal</s>" in table and "300 gal" in table and "read the bill" in table
    one = told(client)["entries"][0]
    assert (one["says"], one["when"]) == ("300 gal", "4 Mar 2026 9:00")


def test_what_was_out_is_back(client: TestClient) -> None:
    write(client, kind="outage", of="power", began="2026-03-04T09:00")
    assert "It is back" in client.get(LOG).text
    assert "It is back</button>" not in client.post(f"{LOG}/back/o1").text
    found = told(client)
    assert found["out"] == [] and found["entries"][0]["before"][0]["says"] == "still"
    assert client.post(f"{LOG}/back/o1").status_code == 422


def test_an_order_that_came(client: TestClient, tank: str) -> None:
    at = "2026-03-04T09:00"
    write(client, kind="load", to=tank, volume="250 gal", ordered=at, not_yet="yes")
    form = client.get(f"{LOG}/entries", params={"number": "l1"}).text
    assert 'value="yes" checked' in form
    words = {"to": tank, "volume": "250 gal", "ordered": at, "came": "2026-03-06T10:00"}
    client.post(f"{LOG}/correct/l1", data=words | {"why": "it came"})
    one = told(client)["entries"][0]
    assert (one["when"], one["says"]) == ("6 Mar 2026 10:00", "250 gal")


def test_numbers_and_times_beyond_all_bounds(client: TestClient, tank: str) -> None:
    many = "9" * 30
    for way in (f"mend/{many}", f"correct/r{many}", f"strike/n{many}", f"back/o{many}"):
        assert client.post(f"{LOG}/{way}", data={"said": "3 in", "why": "x"}).status_code == 422
    for at in ("0001-01-01T00:00", "9999-12-31T23:59", "2300-01-01", "1026-03-04 07:30"):
        answer = read(client, gauge=tank, said="20", at=at)
        assert answer.status_code == 422 and "slip of the pen" in answer.text, at


def test_a_log_with_entries_answers_as_declared(client: TestClient, tank: str) -> None:
    for said in ("20", "410", "21 in"):
        read(client, gauge=tank, said=said)
    write(client, kind="outage", of="power", began="2026-03-04T09:00")
    write(client, kind="note", says="frog")
    client.post(f"{LOG}/correct/n1", data={"says": "toad", "why": "seen again"})
    paths = client.get("/openapi.json").json()["paths"]
    for way in ("log", "log/month", "log/phone"):
        answers = paths[f"/sites/{{name}}/{way}.json"]["get"]["responses"]["200"]
        form = answers["content"]["application/json"]["schema"]
        answer = client.get(f"/sites/barrels/{way}.json").json()
        jsonschema.validate(answer, form, format_checker=jsonschema.FormatChecker())
    assert "unit of the gauge" in client.get("/data").text


def test_many_write_at_once(client: TestClient, tank: str) -> None:
    days = [f"2026-03-{day:02d}T07:30" for day in range(1, 25)]

    def wrote(at: str) -> int:
        return int(read(client, gauge=tank, said="20", at=at).status_code)

    with ThreadPoolExecutor(6) as hands:
        assert set(hands.map(wrote, days)) == {200}
    lines = client.get(f"{LOG}/month.json", params={"month": "2026-03"}).json()["lines"]
    assert sum(len(one["stands"]) for one in lines) == len(days)


def test_struck_out_for_a_reason(client: TestClient) -> None:
    write(client, kind="note", says="frog", at="2026-03-04T09:00")
    assert client.post(f"{LOG}/strike/n1", data={"why": ""}).status_code == 422
    assert client.post(f"{LOG}/strike/n1", data={"why": "a toad"}).status_code == 200
    assert told(client)["entries"] == []


def test_what_is_not_there(client: TestClient) -> None:
    assert client.get(f"{LOG}.json", params={"of": "frogs"}).status_code == 422
    assert client.get(f"{LOG}/entries", params={"number": "r99"}).status_code == 422
    assert client.post(f"{LOG}/correct/x1", data={"why": "y"}).status_code == 422
    assert client.post(f"{LOG}/mend/77", data={"said": "3 in"}).status_code == 422
    assert client.get("/sites/nowhere/log").status_code == 404


def test_a_log_that_waits_for_its_site_file_leads_to_its_page(
    client: TestClient, sites: Path
) -> None:
    file = sites / "barrels" / "site.toml"
    file.write_text(file.read_text().replace("count = 2", "count = 0"))
    page = client.get(LOG)
    assert page.status_code == 422 and 'href="/sites/barrels"' in page.text
    missing = client.get("/sites/nowhere/log").text
    assert "/sites/nowhere" not in missing and 'href="/"' in missing
