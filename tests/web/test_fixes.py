"""The changes of a finding are made from the present file, as one change, and taken back."""

import tomlkit
from fastapi.testclient import TestClient


def _narrow_vent(client, sites):  # type: ignore[no-untyped-def]
    file = sites / "whole-house" / "site.toml"
    said = tomlkit.parse(file.read_text())
    said["tank"][0]["overflow_pipe"]["air_break"] = "0 in"  # type: ignore[index]
    file.write_text(tomlkit.dumps(said))
    return file


def _found(client: TestClient, code: str) -> list[dict]:  # type: ignore[type-arg]
    return [
        one
        for one in client.get("/sites/whole-house.json").json()["findings"]
        if one["code"] == code
    ]


def test_a_fix_is_made_and_taken_back(whole_house, client: TestClient) -> None:  # type: ignore[no-untyped-def]
    file = _narrow_vent(client, whole_house)
    before = file.read_bytes()
    (found,) = _found(client, "overflow-no-air-break")
    assert found["changes"] == [{"address": "tank/main/overflow_pipe/air_break", "value": "1 in"}]
    told = {"code": found["code"], "where": found["where"]}
    assert client.post("/sites/whole-house/fix", data=told).status_code == 200
    assert tomlkit.parse(file.read_text())["tank"][0]["overflow_pipe"]["air_break"] == "1 in"  # type: ignore[index]
    assert not _found(client, "overflow-no-air-break")
    again = client.post("/sites/whole-house/fix", data=told)
    assert again.status_code == 409
    client.post("/sites/whole-house/undo")
    assert file.read_bytes() == before


def test_what_the_browser_says_is_never_written(whole_house, client: TestClient) -> None:  # type: ignore[no-untyped-def]
    file = _narrow_vent(client, whole_house)
    before = file.read_bytes()
    for told in (
        {"code": "overflow-no-air-break", "where": "tank 'other'"},
        {"code": "rain-invented", "where": "rain"},
        {"code": "overflow-no-air-break"},
    ):
        assert client.post("/sites/whole-house/fix", data=told).status_code in (409, 422)
    assert file.read_bytes() == before
