"""Versions of a site: kept, taken, removed, set side by side, and made of a weighed choice."""

import tomllib
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

WAY = "/sites/barrels/versions"
WEIGH = '\n[weigh]\ncounts = [2, 3]\ngardens = ["50 %"]\n'


def _file(sites: Path) -> Path:
    return sites / "barrels" / "site.toml"


def _keep(client: TestClient, name: str) -> int:
    return client.post(f"{WAY}/keep", data={"version": name}).status_code


def _results(client: TestClient) -> dict[str, dict]:  # type: ignore[type-arg]
    return {one["result"]: one for one in client.get(f"{WAY}.json").json()["results"]}


def test_only_what_differs_is_told_and_the_better_one_in_words(
    client: TestClient, sites: Path
) -> None:
    before = _file(sites).read_text(encoding="utf-8")
    assert _keep(client, "two barrels") == 204
    assert (sites / "barrels/versions/two barrels.toml").read_text(encoding="utf-8") == before
    _file(sites).write_text(before.replace("count = 2 ", "count = 3 "), encoding="utf-8")
    found = client.get(f"{WAY}.json").json()
    assert [one["name"] for one in found["columns"]] == ["as it stands", "two barrels"]
    assert found["differs"] == [
        {
            "field": ["tank", "barrels", "count"],
            "label": "Tank barrels: Count",
            "values": ["3", "2"],
        }
    ]
    supplied = _results(client)["supplied_share"]
    assert (
        supplied["values"][0]
        == client.get("/sites/barrels.json").json()["storage"]["supplied_share"]
    )
    assert supplied["values"][0] > supplied["values"][1]
    assert supplied["says"] == "most: as it stands"
    assert _results(client)["first"]["says"] == "least: two barrels"
    assert "being worked out" in client.get(WAY).text
    assert "Tank barrels: Count" in client.get(f"{WAY}/table").text
    page = client.get(WAY).text  # they are remembered, and stand on the page at once
    assert "Tank barrels: Count" in page and "most: as it stands" in page


def test_a_version_is_taken_and_the_text_before_is_had_back(
    client: TestClient, sites: Path
) -> None:
    before = _file(sites).read_text(encoding="utf-8")
    _keep(client, "as bought")
    changed = before.replace("count = 2 ", "count = 5 ")
    _file(sites).write_text(changed, encoding="utf-8")
    assert client.post(f"{WAY}/take", data={"version": "as bought"}).status_code == 204
    assert _file(sites).read_text(encoding="utf-8") == before
    assert client.post("/sites/barrels/undo").status_code < 300
    assert _file(sites).read_text(encoding="utf-8") == changed


def test_a_fifth_is_refused_and_names_the_oldest(client: TestClient, sites: Path) -> None:
    assert [_keep(client, f"version {row}") for row in range(4)] == [204] * 4
    refused = client.post(f"{WAY}/keep", data={"version": "one more"})
    assert refused.status_code == 422
    assert "version 0" in refused.text
    assert len(list((sites / "barrels/versions").iterdir())) == 4
    assert client.post(f"{WAY}/remove", data={"version": "version 0"}).status_code == 204
    assert client.post(f"{WAY}/remove", data={"version": "version 0"}).status_code == 422
    assert _keep(client, "one more") == 204


NO_NAMES = ("", "  ", "../up", "a/b", "a\\b", ".hidden", "x" * 41, "a\0b", "<b>", "a:b", "dot.")


def test_no_name_leads_elsewhere(client: TestClient, sites: Path) -> None:
    for name in NO_NAMES:
        assert _keep(client, name) == 422
        assert client.post(f"{WAY}/take", data={"version": name}).status_code == 422
    assert not (sites / "barrels/versions").exists()


def test_a_name_stands_once_whatever_its_case(client: TestClient) -> None:
    assert _keep(client, "Larger") == 204
    assert _keep(client, "larger") == 422


def test_a_link_is_no_version(client: TestClient, sites: Path) -> None:
    (sites / "elsewhere.toml").write_text("name = 'elsewhere'", encoding="utf-8")
    (sites / "barrels/versions").mkdir()
    (sites / "barrels/versions/out.toml").symlink_to(sites / "elsewhere.toml")
    assert len(client.get(f"{WAY}.json").json()["columns"]) == 1


def test_a_version_with_faults_has_them_in_its_column(client: TestClient, sites: Path) -> None:
    (sites / "barrels/versions").mkdir()
    (sites / "barrels/versions/torn.toml").write_text("name = [", encoding="utf-8")
    (sites / "barrels/versions/bare.toml").write_text("name = 'bare'\n", encoding="utf-8")
    found = client.get(f"{WAY}.json").json()
    assert all(one["faults"] for one in found["columns"][1:])
    assert all(one["words"][1:] == ["", ""] for one in found["results"])
    assert client.get(f"{WAY}/table").text.count("rowspan") == 2


def test_without_weigh_the_page_says_what_to_write(client: TestClient) -> None:
    assert "[weigh]" in client.get(WAY).text
    assert "being weighed" not in client.get(WAY).text
    # as on the command line, the sizes commonly sold are weighed all the same
    assert client.get("/sites/barrels/weighed.json").json()["tried"] > 5


def test_a_picked_choice_becomes_a_version_with_its_figures(
    client: TestClient, sites: Path
) -> None:
    with _file(sites).open("a", encoding="utf-8") as file:
        file.write(WEIGH)
    assert "being weighed" in client.get(WAY).text
    answer = client.get("/sites/barrels/weighed.json").json()
    piece = client.get(f"{WAY}/weighed?choice=0").text
    assert piece.count('class="touch"') == piece.count("<li") >= len(answer["by_days"])
    assert "being weighed" not in client.get(f"{WAY}?choice=0").text
    seen = piece.split('name="of" value="')[1].split('"')[0]
    data = {"version": "picked", "choice": "0", "of": seen}
    assert client.post(f"{WAY}/choice", data=data | {"of": "older"}).status_code == 422
    assert client.post(f"{WAY}/choice", data=data | {"choice": "99"}).status_code == 404
    assert client.post(f"{WAY}/choice", data=data).status_code == 204
    all_of_them = [*answer["by_days"], answer["present"], answer["cheapest"]]
    picked = min(all_of_them, key=lambda one: one["life"]["typical"])
    results = _results(client)
    for key in ("supplied_share", "days_met_share", "longest_short_days"):
        assert results[key]["values"][1] == pytest.approx(picked[key], rel=1e-9)
    assert results["life"]["values"][1] == pytest.approx(picked["life"]["typical"], rel=1e-6)
    kept = (sites / "barrels/versions/picked.toml").read_text(encoding="utf-8")
    assert kept.count("#") == _file(sites).read_text(encoding="utf-8").count("#")
    assert tomllib.loads(kept)["weigh"] == tomllib.loads(WEIGH)["weigh"]
