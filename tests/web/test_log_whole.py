"""A household takes its whole log along, and erases it for good."""

from pathlib import Path

from fastapi.testclient import TestClient

LOG = "/sites/barrels/log"


def _begun(client: TestClient) -> str:
    gauge = str(client.get(f"{LOG}.json").json()["gauges"][0]["gauge"])
    read = {"gauge": gauge, "said": "20", "at": "2026-03-04T07:30", "who": "Ann"}
    client.post(f"{LOG}/reading", data=read)
    client.post(
        f"{LOG}/entry", data={"kind": "note", "says": "gone fishing", "at": "2026-03-05T07:30"}
    )
    return gauge


def test_what_is_taken_along_is_taken_by_another_log(client: TestClient) -> None:
    _begun(client)
    kept = client.get(f"{LOG}/whole.txt")
    assert kept.headers["content-disposition"].startswith("attachment")
    assert kept.text.count("\n") == 1 + 2  # what it is, a reading, a note
    assert f'href="{LOG}/whole"' in client.get(LOG).text
    # begun like another, which has a name of its own
    client.post("/sites", data={"name": "next-door", "like": "barrels"})
    sent = {"file": ("log.txt", kept.content)}
    other = client.post("/sites/next-door/log/bring/look", files=sent, data={"gauges": ""})
    assert other.status_code == 200, other.text


def test_the_name_of_the_site_must_be_typed(client: TestClient, sites: Path) -> None:
    _begun(client)
    before = client.get(f"{LOG}/whole.txt").text
    for called in ("", "barrel", "whole-house"):
        refused = client.post(f"{LOG}/erase", data={"called": called})
        assert refused.status_code == 422 and "Nothing was erased" in refused.text
    assert client.get(f"{LOG}/whole.txt").text == before


def test_erased_for_good(client: TestClient, sites: Path) -> None:
    _begun(client)
    file = sites / "barrels" / "site.toml"
    before, called = file.read_text(), client.get("/sites.json").json()["sites"][0]["site"]
    done = client.post(f"{LOG}/erase", data={"called": called})
    assert done.status_code == 204 and done.headers["hx-redirect"] == LOG
    assert client.get(f"{LOG}.json").json()["entries"] == []
    assert file.read_text() == before
    held = b"".join(one.read_bytes() for one in sites.rglob("*") if one.is_file())
    assert b"Ann" not in held and b"gone fishing" not in held


def test_where_no_log_was_begun_none_is(client: TestClient, sites: Path) -> None:
    before = sorted(sites.rglob("*"))
    assert "No log was begun here" in client.get(f"{LOG}/whole").text
    assert client.get(f"{LOG}/whole.txt").status_code == 200
    called = client.get("/sites.json").json()["sites"][0]["site"]
    assert client.post(f"{LOG}/erase", data={"called": called}).status_code == 422
    assert sorted(sites.rglob("*")) == before
