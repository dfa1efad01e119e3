"""An empty site file opens to a page on which everything can be said."""

import tomllib
from pathlib import Path

from fastapi.testclient import TestClient


def test_an_empty_file_is_filled_in_on_its_page(client: TestClient, sites: Path) -> None:
    file = sites / "barrels" / "site.toml"
    file.write_text("")
    page = client.get("/sites/barrels").text
    assert 'id="p-site"' in page and 'id="l-roof"' in page and 'id="p-rain"' in page
    assert client.post("/sites/barrels/change", data={"address": "name", "value": "New"}).is_success
    assert client.post("/sites/barrels/add", data={"address": "roof"}).is_success
    assert tomllib.loads(file.read_text()) == {"name": "New", "roof": [{"name": "roof"}]}


def test_a_climate_that_there_is_not_is_not_written(client: TestClient, sites: Path) -> None:
    before = (sites / "barrels" / "site.toml").read_bytes()
    answer = client.post("/sites/barrels/rain/climate", data={"climate": "of another kind"})
    assert answer.status_code == 422 and "no invented climate" in answer.text
    assert (sites / "barrels" / "site.toml").read_bytes() == before


def test_a_picture_whose_place_is_no_number_is_none(client: TestClient, sites: Path) -> None:
    plan = sites / "barrels" / "plan"
    plan.mkdir()
    (plan / "underlay.png").write_bytes(b"")
    for wide, left in (("inf", "0.0"), ("800", "inf"), ("0", "0.0"), ('"8"', "0.0")):
        lines = f"wide_px = {wide}\nhigh_px = 600\nm_per_px = 0.1\nscaled = true\n"
        (plan / "underlay.toml").write_text(f"{lines}left_m = {left}\nlow_m = 0.0\n")
        answer = client.get("/sites/barrels/trace.json")
        assert answer.status_code == 200 and answer.json()["underlay"] == {}
