"""What comes from a file, a telephone or a sheet of paper is looked at, then taken, never twice."""

import re
from typing import Any

import pytest
from fastapi.testclient import TestClient

from eavewell.files.field.block import checksum
from eavewell.logbook.entries.phone_text import FIRST, LAST

LOG = "/sites/barrels/log"


@pytest.fixture
def tank(client: TestClient) -> str:
    """The first gauge that a hand reads."""
    return str(client.get(f"{LOG}.json").json()["gauges"][0]["gauge"])


def entries(client: TestClient) -> list[dict[str, Any]]:
    return list(client.get(f"{LOG}.json").json()["entries"])


def file_of(*rows: str) -> dict[str, tuple[str, bytes]]:
    return {"file": ("stick.csv", "\n".join(rows).encode())}


def test_a_file_is_looked_at_and_taken_whole(client: TestClient, tank: str) -> None:
    rows = ("when,level (in)", "2026-03-04 07:30,20", "2026-03-05 07:30,410", "2026-03-06 07:30,21")
    told = {"gauges": tank}
    looked = client.post(f"{LOG}/bring/look", data=told, files=file_of(*rows))
    assert looked.status_code == 200 and "above the rim" in looked.text
    assert ">3</td>" in looked.text and "2026-03-04 07:30" in looked.text
    assert entries(client) == []
    found = re.search(r'name="digest" id="b-digest" value="([0-9a-f]+)"', looked.text)
    assert found
    told["digest"] = found[1]
    other = client.post(f"{LOG}/bring/take", data=told, files=file_of(*rows[:3]))
    assert other.status_code == 422 and "another file" in other.text and entries(client) == []
    taken = client.post(f"{LOG}/bring/take", data=told, files=file_of(*rows))
    assert "3 readings written" in taken.text and len(entries(client)) == 3
    again = client.post(f"{LOG}/bring/take", data=told, files=file_of(*rows))
    assert "brought in before" in again.text and "--" not in again.text
    assert len(entries(client)) == 3


def test_a_whole_log_is_brought_as_well(client: TestClient) -> None:
    data = (
        b'{"log": "eavewell-log/1", "site": "x"}\n'
        b'{"kind": "note", "at": "2026-03-04T09:00:00+00:00", "says": "frog"}\n'
    )
    looked = client.post(f"{LOG}/bring/look", files={"file": ("x.log", data)})
    found = re.search(r'name="digest" id="b-digest" value="([0-9a-f]+)"', looked.text)
    assert found and "A whole log." in looked.text
    told = {"digest": found[1]}
    taken = client.post(f"{LOG}/bring/take", data=told, files={"file": ("x.log", data)})
    assert "1 entry written" in taken.text and entries(client)[0]["says"] == "frog"


def test_every_fault_of_a_file_and_nothing_to_take(client: TestClient, tank: str) -> None:
    good = [f"2026-03-{day:02d} 07:30,20" for day in range(10, 28)]
    rows = ("when,level (in)", "2026-03-04 07:30,wet", *good, "2026-03-05 07:30,dry")
    looked = client.post(f"{LOG}/bring/look", data={"gauges": tank}, files=file_of(*rows))
    assert looked.status_code == 422 and "Take it" not in looked.text
    assert "wet" in looked.text and "dry" in looked.text
    for data in (b"", b"\x00\xff", b"PK\x03\x04" + b"0" * 50):
        odd = client.post(f"{LOG}/bring/look", files={"file": ("x.csv", data)})
        assert odd.status_code == 422 and "Take it" not in odd.text


def block(*lines: str, site: str = "barrels") -> str:
    """A text as the telephone writes it."""
    told = [FIRST, f"site: {site}", "made: 2026-03-01 08:00", "day: 2026-03-04", *lines]
    return "\n".join((*told, "", f"check: {checksum(told)}", LAST, ""))


def kept(tank: str) -> str:
    return block(
        "entry: reading",
        f"gauge: {tank}",
        "said: 20",
        "at: 2026-03-04T07:30:05-06:00",
        "who: Ann",
        "entry: note",
        "says: <i>a frog</i>",
        "at: 2026-03-04T07:31:00-06:00",
        "entry: reading",
        "gauge: mian",
        "said: 3",
        "at: 2026-03-04T07:31:00-06:00",
    )


def test_a_telephone_twice_without_harm(client: TestClient, tank: str) -> None:
    text = kept(tank)
    for time in range(2):
        looked = client.post(f"{LOG}/telephone/text", data={"text": text})
        assert looked.status_code == 200 and "did not come whole" not in looked.text
        assert "There is no gauge" in looked.text and "<i>a frog" not in looked.text
        assert (looked.text.count(" checked>"), "In the log already" in looked.text) == (
            (2, False) if time == 0 else (0, True)
        )
        taken = client.post(f"{LOG}/telephone/take", data={"text": text, "taken": ["1", "2", "3"]})
        assert taken.status_code == 200
        assert ("2 written" in taken.text, "0 written, 2 there already" in taken.text) == (
            time == 0,
            time == 1,
        )
    assert {one["kind"] for one in entries(client)} == {"reading", "note"}
    assert client.get(f"{LOG}.json").json()["gauges"][0]["last"]["says"] == "20 in"


def test_a_text_that_lost_something_is_not_ticked(client: TestClient, tank: str) -> None:
    by_file = {"file": ("log.txt", kept(tank).replace("said: 20", "said: 30").encode())}
    looked = client.post(f"{LOG}/telephone/file", files=by_file).text
    assert "did not come whole" in looked and " checked>" not in looked
    other = block("entry: note", "says: hello", site="elsewhere")
    looked = client.post(f"{LOG}/telephone/text", data={"text": other}).text
    assert "written for “elsewhere”" in looked and " checked>" not in looked
    none = client.post(f"{LOG}/telephone/text", data={"text": "hello"})
    assert none.status_code == 422 and "no log of a telephone" in none.text


def month(client: TestClient, **words: str) -> Any:
    told = {name.replace("__", "-"): said for name, said in words.items()}
    return client.post(f"{LOG}/month", data={"sheet": "level", "month": "2026-03"} | told)


def test_a_month_equal_to_the_printed_sheet(client: TestClient) -> None:
    sheet = client.get(f"{LOG}/month.json", params={"month": "2026-02"}).json()
    assert sheet["heads"][:5] == ["day", "hour", "tank", "stick (ft in)", "who"]
    assert [one["day"] for one in sheet["lines"]][-1] == "2026-02-28"
    page = client.get(f"{LOG}/month", params={"month": "2026-02"}).text
    shown = re.findall(r"<th scope=\"col\"[^>]*>([^<]+)</th>", page)
    assert shown == [*sheet["heads"], "in the log"]
    for wrong in ({"month": "2026-13"}, {"month": "9999-99"}, {"sheet": "frogs"}):
        assert client.get(f"{LOG}/month", params=wrong).status_code == 422


def test_a_month_at_one_sitting(client: TestClient) -> None:
    told = {
        "hour": "7:30",
        "who": "Ann",
        "said__4-0": "20",
        "said__11-0": "1 8",
        "hour__18-0": "8",
        "said__18-0": "21 in",
        "who__18-0": "Bo",
    }
    page = month(client, **told)
    assert page.status_code == 200 and "3 written" in page.text and 'data-taken="yes"' in page.text
    lines = client.get(f"{LOG}/month.json", params={"month": "2026-03"}).json()["lines"]
    stands = {one["line"]: one["stands"] for one in lines if one["stands"]}
    assert stands == {
        "4-0": [{"hour": "07:30", "says": "20 in", "who": "Ann"}],
        "11-0": [{"hour": "07:30", "says": "1 ft 8 in", "who": "Ann"}],
        "18-0": [{"hour": "08:00", "says": "21 in", "who": "Bo"}],
    }
    assert "0 written, 3 there already" in month(client, **told).text


def test_a_month_is_written_whole_or_not_at_all(client: TestClient) -> None:
    none = month(client)
    assert none.status_code == 422 and "No line holds a figure" in none.text
    odd = month(client, **{"said__4-0": "20", "said__5-0": "wet"})
    assert odd.status_code == 422 and "Line of the 5." in odd.text and 'value="20"' in odd.text
    assert odd.text.count('aria-invalid="true"') == 1
    assert entries(client) == []
    told = {"said__4-0": "20", "said__5-0": "410"}
    asked = month(client, **told)
    assert asked.status_code == 200 and "look at these lines again" in asked.text
    assert 'name="kept"' in asked.text and entries(client) == []
    assert "2 written" in month(client, **told, kept="yes").text
    notes = {one["says"]: one["note"] for one in entries(client)}
    assert notes["20 in"] == "" and notes["410 in"].startswith("Questioned: 410 in is above")


def test_the_telephone_file_needs_nothing_else(client: TestClient) -> None:
    told = client.get(f"{LOG}/phone.html")
    assert told.headers["content-disposition"].startswith("attachment")
    assert not re.search(r'(?:src|href)="(?!#|data:,)', told.text)
    assert "eavewell-mark" not in told.text.lower()
    within = client.get(f"{LOG}/phone").text
    assert "<style" not in within and not re.search(r"<script>|style=", within)
