"""No address takes a change without our mark, from elsewhere, or under another host."""

import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from eavewell.web.app import pages

FOREIGN: list[dict[str, str]] = [
    {"x-eavewell-mark": ""},
    {"origin": "http://elsewhere.example"},
    {"sec-fetch-site": "cross-site"},
]


@pytest.mark.parametrize("headers", FOREIGN, ids=lambda one: next(iter(one)))
def test_every_change_needs_our_mark_and_comes_from_here(
    client: TestClient, sites: Path, headers: dict[str, str]
) -> None:
    before = {one: one.read_bytes() for one in sites.rglob("*") if one.is_file()}
    ways = changing(sites)
    assert len(ways) > 20 and "/sites/barrels/change" in ways
    for way in ways:
        assert client.post(way, headers=headers).status_code == 403, way
        assert client.post(way, headers={"host": "elsewhere.example"}).status_code == 400, way
    assert {one: one.read_bytes() for one in sites.rglob("*") if one.is_file()} == before


def changing(sites: Path) -> list[str]:
    """Every address that takes a change."""
    app = pages(sites, mark="ours")
    TestClient(app, base_url="http://127.0.0.1").get("/data")  # loads them all
    routes = app.routes
    paths = {path for one in routes for path in posts(one)}
    return sorted(re.sub(r"\{[^}]*\}", "barrels", path) for path in paths)


def posts(route: object) -> list[str]:
    """The addresses of a route, or of those that were taken in with it, that are posted to."""
    inner = getattr(getattr(route, "original_router", None), "routes", None)
    if inner is not None:
        return [path for one in inner for path in posts(one)]
    taken = getattr(route, "methods", None) or ()
    assert not {"PUT", "PATCH", "DELETE"} & set(taken)
    return [str(getattr(route, "path", ""))] if "POST" in taken else []
