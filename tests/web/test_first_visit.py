"""A site begun from nothing: a first roof, tank and use are asked for, and what came is taken."""

import tomllib
from pathlib import Path

from fastapi.testclient import TestClient

from eavewell.files.field.block import FIRST, LAST, checksum

SITE = "/sites/new-place"
FOUND = {
    "roof-0-finish": ("roof 1", "metal"),
    "roof-0-plan": ("roof 1", "40 ft x 24 ft"),
    "roof-0-gutter-0-shape": ("roof 1/gutter 1", "half-round"),
    "roof-0-gutter-0-width": ("roof 1/gutter 1", "6 in"),
    "roof-0-gutter-0-length": ("roof 1/gutter 1", "40 ft"),
    "tank-0-each": ("tank 1", "2,600 gal"),
    "tank-0-stands-on-soil": ("tank 1", "clay"),
    "use-0-class": ("use 1", "indoor"),
    "use-0-people": ("use 1", "3"),
    "use-0-each": ("use 1", "28 gal/day"),
}


def _block(found: dict[str, tuple[str, str]]) -> str:
    told = [FIRST, "site: new-place", "version: v", "day: 2027-03-02", "rod: ft"]
    for name, (of, value) in found.items():
        told += [f"item: {name}", f"of: {of}", f"value: {value}", "how: measured"]
    return "\n".join((*told, "", f"check: {checksum(told)}", LAST, ""))


def _asked(client: TestClient) -> list[str]:
    told = client.get(f"{SITE}/field-sheet.json").json()["stops"]
    return [one["item"] for stop in told for one in stop["items"]]


def _begin(client: TestClient, sites: Path) -> Path:
    assert client.post("/sites", data={"name": "new-place", "like": "blank"}).status_code == 204
    return sites / "new-place" / "site.toml"


def test_a_first_of_each_is_asked_and_nothing_is_written_for_it(
    client: TestClient, sites: Path
) -> None:
    file = _begin(client, sites)
    before = file.read_text()
    assert set(FOUND) <= set(_asked(client))
    page = client.get(f"{SITE}/field-sheet").text
    assert '<span class="part">roof 1, gutter 1</span>' in page and "roof roof" not in page
    assert file.read_text() == before


def test_what_was_found_is_taken_twice_without_harm(client: TestClient, sites: Path) -> None:
    file = _begin(client, sites)
    before, text = file.read_text(), _block(FOUND)
    seen = client.post(f"{SITE}/field-sheet/text", data={"text": text}).text
    assert seen.count(" checked") == len(FOUND) and "Cannot be taken" not in seen
    taken = {"text": text, "taken": list(FOUND)}
    assert client.post(f"{SITE}/field-sheet/take", data=taken).status_code == 200
    said = tomllib.loads(file.read_text())
    assert said["roof"] == [
        {
            "name": "roof 1",
            "finish": "metal",
            "plan": "40 ft x 24 ft",
            "gutter": [
                {"name": "gutter 1", "shape": "half-round", "width": "6 in", "length": "40 ft"}
            ],
        }
    ]
    (tank,), (use,) = said["tank"], said["use"]
    assert (tank["name"], tank["each"], tank["stands_on"]["soil"]) == (
        "tank 1",
        "2,600 gal",
        "clay",
    )
    assert use == {"name": "use 1", "class": "indoor", "people": 3, "each": "28 gal/day"}
    again = client.post(f"{SITE}/field-sheet/take", data=taken).text
    assert "Nothing in the site file was changed" in again
    assert tomllib.loads(file.read_text()) == said
    assert client.post(f"{SITE}/undo").status_code in (200, 204)
    assert file.read_text() == before


def test_what_cannot_be_is_refused_and_begins_no_part(client: TestClient, sites: Path) -> None:
    file = _begin(client, sites)
    before = file.read_text()
    text = _block({"roof-0-finish": ("roof 1", "gold"), "tank-0-each": ("tank 1", "many")})
    seen = client.post(f"{SITE}/field-sheet/text", data={"text": text}).text
    assert seen.count("Cannot be taken:") == 2
    taken = {"text": text, "taken": ["roof-0-finish", "tank-0-each"]}
    client.post(f"{SITE}/field-sheet/take", data=taken)
    assert file.read_text() == before


def test_a_file_that_has_them_is_asked_of_its_own_alone(client: TestClient) -> None:
    told = client.get("/sites/barrels/field-sheet.json").json()["stops"]
    parts = {one["of"] for stop in told for one in stop["items"]}
    assert not any("roof 1" in one or "tank 1" in one or "use 1" in one for one in parts)
