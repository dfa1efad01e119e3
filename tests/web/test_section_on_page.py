"""The section across a page: by keyboard along the water, by pointer the smallest thing on top."""

import re
import tomllib
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

LINK = re.compile(r'class="thing"[^>]*aria-label="([^"]*)"|class="grip"[^>]*aria-label="([^"]*)"')
FINGER = re.compile(r'class="finger" tabindex="-1"><rect [^>]*width="([0-9.]+)" height="([0-9.]+)"')
ALONG = {
    "barrels": [
        "roof shed",
        "eave of shed",
        "screen lid screen",
        "tank barrels",
        "rim of barrels",
        "line tap",
        "line bed line",
        "line bowl line",
        "ground",
    ],
    "whole-house": [
        "roof house",
        "eave of house",
        "screen leaf screen",
        "roof workshop",
        "eave of workshop",
        "pipe house main",
        "pipe workshop drain",
        "tank main",
        "rim of main",
        "line house water",
        "lift garden top-up",
        "tank header",
        "rim of header",
        "line garden line",
        "ground",
    ],
}


@pytest.fixture
def drawing(client: TestClient, whole_house: Path, name: str) -> str:
    page = client.get(f"/sites/{name}").text
    return page[page.index('<svg xmlns="http://www.w3.org/2000/svg" class="drawing"') :]


@pytest.mark.parametrize("name", ALONG)
def test_the_keyboard_goes_from_sky_to_tap(drawing: str, name: str) -> None:
    assert [one or other for one, other in LINK.findall(drawing)] == ALONG[name]


@pytest.mark.parametrize("name", ALONG)
def test_a_pointer_meets_the_smaller_thing_first(drawing: str, name: str) -> None:
    links = [one for one in ALONG[name] if " of " not in one]
    sizes = [(float(wide), float(high)) for wide, high in FINGER.findall(drawing)]
    assert len(sizes) == len(links)
    # one is drawn larger than it is where it is too small for a finger
    true = [wide * high for wide, high in sizes if min(wide, high) > 7.0]
    assert true == sorted(true, reverse=True)
    assert '<a href="#p-tank-0" class="thing" pointer-events="none"' in drawing
    hidden = drawing.index('class="finger"')
    assert drawing.rindex("<g aria-hidden", 0, hidden) > drawing.rindex("</g>", 0, hidden)


def test_the_example_holds_what_is_walked_along(whole_house: Path) -> None:
    said = tomllib.loads((whole_house / "whole-house" / "site.toml").read_text())
    assert [one["name"] for one in said["roof"]] == ["house", "workshop"]
    assert [one["name"] for one in said["tank"]] == ["main", "header"]
