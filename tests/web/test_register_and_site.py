"""The register lists what lies in the folder; a site's page shows its answer; a change is kept."""

import re
from pathlib import Path
from urllib.parse import quote, unquote

from fastapi.testclient import TestClient

from eavewell.answers.shown import spell


def test_the_register_has_a_line_a_site(client: TestClient) -> None:
    page = client.get("/").text
    assert 'href="/sites/barrels"' in page
    (line,) = client.get("/sites.json").json()["sites"]
    answer = client.get("/sites/barrels.json").json()
    assert line["supplied_share"] == answer["storage"]["supplied_share"]
    longest = answer["storage"]["longest_short"]
    assert (line["longest_short_from"], line["longest_short_to"]) == (
        longest["from"],
        longest["to"],
    )
    shown = client.get("/sites/barrels/line").text
    assert spell(longest["from"], longest["to"]) in shown and "invented climate" in shown


def test_a_change_is_written_and_everything_else_of_the_file_kept(
    client: TestClient, sites: Path
) -> None:
    file = sites / "barrels" / "site.toml"
    before = file.read_text()
    told = {"address": "place/elevation", "value": "1,500 ft", "was": "1,480 ft"}
    answer = client.post("/sites/barrels/change", data=told)
    assert answer.status_code == 200
    changed = re.sub(r'(elevation = )"[^"]*"', r'\1"1,500 ft"', before)
    assert file.read_text() == changed != before


def test_what_cannot_be_is_refused_in_place_and_keeps_what_was_typed(
    client: TestClient, sites: Path
) -> None:
    file = sites / "barrels" / "site.toml"
    before = file.read_text()
    told = {"address": "place/elevation", "value": "1500", "was": "1,480 ft"}
    answer = client.post("/sites/barrels/change", data=told)
    assert answer.status_code == 422
    assert 'value="1500"' in answer.text and "unit" in answer.text
    assert file.read_text() == before


def test_a_change_without_our_mark_is_refused(client: TestClient) -> None:
    told = {"address": "name", "value": "theirs", "was": ""}
    for mark in ("", "another"):
        answer = client.post("/sites/barrels/change", data=told, headers={"x-eavewell-mark": mark})
        assert answer.status_code == 403


def test_what_is_put_in_the_bin_is_told_and_had_back(client: TestClient, sites: Path) -> None:
    put = client.post("/sites/barrels/bin").headers["hx-redirect"]
    page = client.get(put).text
    assert "<p>In the bin: barrels.</p>" in page
    assert re.search(r"<li>barrels, since \d{1,2} [A-Z][a-z]{2} \d{4} <button", page)
    key = unquote(put.partition("=")[2])
    assert client.post(f"/bin/{quote(key)}/back").headers["hx-redirect"] == "/sites/barrels"
    assert (sites / "barrels" / "site.toml").is_file()
    assert "In the bin" not in client.get(put).text
    (sites / ".bin" / "left by hand").mkdir()
    assert "<li>by hand <button" in client.get("/").text
