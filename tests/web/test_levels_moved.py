"""A level moved on the section is written in the site's own units; trying one writes nothing."""

from pathlib import Path

import pytest
import tomlkit
from fastapi.testclient import TestClient

HEIGHT = "tank/0/height"


def test_a_rim_that_is_let_go_changes_the_height(client: TestClient, sites: Path) -> None:
    file = sites / "barrels" / "site.toml"
    base = tomlkit.parse(file.read_text())["tank"][0]["base"]
    assert base == "1 ft 8 in"
    # 1 ft 8 in is 0.508 m; a rim 1.4224 m above the datum is 0.9144 m, or 3 ft, above the floor
    told = {"address": HEIGHT, "of": "barrels", "level_m": "1.4224", "from_m": "0.508"}
    assert client.post("/sites/barrels/move", data=told).status_code == 200
    assert tomlkit.parse(file.read_text())["tank"][0]["height"] == "3 ft"


def test_trying_a_rim_draws_its_curve_and_writes_nothing(client: TestClient, sites: Path) -> None:
    file = sites / "barrels" / "site.toml"
    before = file.read_bytes()
    told = {"address": HEIGHT, "level_m": 1.4224, "from_m": 0.508}
    answer = client.get("/sites/barrels/try", params=told)
    assert answer.status_code == 200 and "3 ft" in answer.text and "<svg" in answer.text
    assert file.read_bytes() == before


def test_another_tank_that_stands_there_by_now_is_not_changed(
    client: TestClient, sites: Path
) -> None:
    file = sites / "barrels" / "site.toml"
    page = client.get("/sites/barrels").text
    assert 'data-address="tank/0/height" data-of="barrels"' in page
    file.write_text(file.read_text().replace('"barrels"', '"casks"'))
    before = file.read_bytes()
    told = {"address": HEIGHT, "of": "barrels", "level_m": "1.4224", "from_m": "0.508"}
    answer = client.post("/sites/barrels/move", data=told)
    assert answer.status_code == 409 and "load the page again" in answer.text
    assert file.read_bytes() == before


@pytest.mark.parametrize("address", ["name", "tank/0/each", "tank/99/height", "rain/0/height", ""])
def test_what_is_no_level_is_not_moved(client: TestClient, sites: Path, address: str) -> None:
    file = sites / "barrels" / "site.toml"
    before = file.read_bytes()
    told = {"address": address, "level_m": "1.0", "from_m": "0"}
    assert client.post("/sites/barrels/move", data=told).status_code == 422
    assert file.read_bytes() == before


@pytest.mark.parametrize("level", ["nan", "1e9", "words"])
def test_what_is_no_number_is_refused(client: TestClient, level: str) -> None:
    told = {"address": HEIGHT, "level_m": level, "from_m": "0"}
    assert client.post("/sites/barrels/move", data=told).status_code == 422
