"""What is due, water tests, faults and years on their pages; all of it is invented."""

from datetime import datetime
from pathlib import Path

import jsonschema
import pytest
from fastapi.testclient import TestClient

from eavewell.answers.schema import schema
from eavewell.files.site.reader import read_site
from eavewell.logbook.store import open_log
from eavewell.site import entry
from eavewell.site.water import WaterTest
from eavewell.web import logged

NOW = datetime.fromisoformat("2027-03-05T09:00:00-06:00")
BARRELS = "/sites/barrels"


@pytest.fixture(autouse=True)
def _clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(logged, "now", lambda: NOW)


@pytest.fixture
def read(client: TestClient) -> TestClient:
    client.post(f"{BARRELS}/today", data={"value": "20 in", "when": "2027-01-05 8:00"})
    return client


def due_of(client: TestClient, task: str) -> dict[str, object]:
    answer = client.get(f"{BARRELS}/due.json").json()
    jsonschema.validate(answer, schema("due"))
    return next(one for one in answer["due"] if one["task"] == task)


def entries(sites: Path, kind: str) -> list[object]:
    with open_log(read_site(sites / "barrels" / "site.toml"), make=False) as store:
        return [one for _, one in store.entries(kind)]


def test_a_press_writes_that_a_task_was_done(read: TestClient, sites: Path) -> None:
    task = "clean the screens"
    before = due_of(read, task)
    sent = {"task": task, "things": "\n".join(before["things"]), "who": "Ada"}
    answer = read.post(f"{BARRELS}/due", data=sent)
    assert answer.status_code == 200 and "Written: clean the screens" in answer.text
    (done,) = entries(sites, "done")
    assert isinstance(done, entry.Done)
    assert (done.task, done.thing, done.who, done.until) == (task, "lid screen", "Ada", None)
    after = due_of(read, task)
    assert (after["last_done"], after["due"] > before["due"]) == ("2027-03-05", True)


def test_a_task_is_put_off_or_was_done_on_another_day(read: TestClient) -> None:
    task = "clean the screens"
    read.post(f"{BARRELS}/due", data={"task": task, "things": "lid screen", "until": "2027-03-19"})
    assert due_of(read, task)["due"] == "2027-03-19"
    assert "Put off on 5 Mar 2027" in read.get(f"{BARRELS}/due").text
    read.post(f"{BARRELS}/due", data={"task": task, "things": "lid screen", "on": "2027-03-01"})
    assert due_of(read, task)["last_done"] == "2027-03-01"


@pytest.mark.parametrize(
    "sent",
    [
        {"task": "paint the fence"},
        {"task": "clean the screens", "until": "2027-03-01"},
        {"task": "clean the screens", "until": "some day"},
        {"task": "clean the screens", "on": "2027-03-09"},
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_written(
    read: TestClient, sites: Path, sent: dict[str, str]
) -> None:
    answer = read.post(f"{BARRELS}/due", data=sent)
    assert answer.status_code == 422 and answer.headers["hx-retarget"] == "#wrong"
    assert entries(sites, "done") == []


def test_the_calendar_has_an_address(read: TestClient) -> None:
    answer = read.get(f"{BARRELS}/due.ics")
    assert answer.headers["content-type"].startswith("text/calendar")
    assert (
        answer.content.startswith(b"BEGIN:VCALENDAR")
        and b"SUMMARY:Clean the screens: lid screen" in answer.content
    )


def test_a_failed_test_says_what_is_done_today(read: TestClient, sites: Path) -> None:
    page = read.get(f"{BARRELS}/tests").text
    assert "No result is entered." in page and "How a sample is drawn" in page
    found = WaterTest("nitrate", 2_000.0, NOW.date())
    with open_log(read_site(sites / "barrels" / "site.toml")) as store:
        store.add([entry.Tested(NOW, found)])
    page = read.get(f"{BARRELS}/tests").text
    assert "is held back" in page and "Today: " in page and "Failed on 5 Mar 2027" in page
    answer = read.get(f"{BARRELS}/tests.json").json()
    jsonschema.validate(answer, schema("results"))
    assert answer["held_back"] > 0


def test_a_symptom_is_narrowed_by_answers_in_its_address(read: TestClient) -> None:
    page = read.get(f"{BARRELS}/faults").text
    assert "What is wrong?" in page and "?symptom=1" in page
    first = read.get(f"{BARRELS}/faults.json?symptom=1").json()
    jsonschema.validate(first, schema("faults"))
    number = first["next"]
    page = read.get(f"{BARRELS}/faults?symptom=1").text
    assert f"said={number}%3Dyes" in page and f"said={number}%3Dcannot+tell" in page
    then = read.get(f"{BARRELS}/faults.json?symptom=1&said={number}%3Dyes").json()
    states = {one["number"]: one["state"] for one in then["causes"]}
    assert states[number] == "ruled out" and then["next"] != number
    page = read.get(f"{BARRELS}/faults?symptom=1&said={number}%3Dyes").text
    assert "take back" in page
    found = read.get(f"{BARRELS}/faults?symptom=1&said={number}%3Dno").text
    assert "Found: " in found


@pytest.mark.parametrize("asked", ["symptom=99", "symptom=1&said=77%3Dyes", "symptom=1&said=x"])
def test_a_symptom_or_answer_that_is_none_is_refused(client: TestClient, asked: str) -> None:
    assert client.get(f"{BARRELS}/faults?{asked}").status_code == 422
    assert client.get(f"{BARRELS}/faults.json?{asked}").status_code == 422


def test_each_year_has_its_papers(read: TestClient) -> None:
    page = read.get(f"{BARRELS}/year").text
    assert f'href="{BARRELS}/year/2027-owner.pdf"' in page
    for whom in ("owner", "authority"):
        paper = read.get(f"{BARRELS}/year/2027-{whom}.pdf")
        assert paper.content.startswith(b"%PDF")
    jsonschema.validate(read.get(f"{BARRELS}/year/2027.json").json(), schema("year"))
    assert read.get(f"{BARRELS}/year/2027-anybody.pdf").status_code == 404
    assert read.get(f"{BARRELS}/year/2019.json").status_code == 422
    assert read.get(f"{BARRELS}/year/1.json").status_code == 422


def test_pages_of_a_site_without_a_log_answer(client: TestClient, sites: Path) -> None:
    for page in ("today", "ahead", "due", "tests", "faults", "year"):
        assert client.get(f"{BARRELS}/{page}").status_code == 200, page
    assert "Nothing is in the log yet" in client.get(f"{BARRELS}/year").text
    assert not (sites / "barrels" / "log.db").exists()
