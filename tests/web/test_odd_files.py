"""A site file of any kind opens to its page or to its faults; nothing of it breaks a page."""

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

ODD = {
    "no TOML": "a = [",
    "far too deep": "a = " + "[" * 3000,
    **{f"{deep} deep": "a = " + "[" * deep + "]" * deep for deep in (30, 31, 490, 491)},
    "a deep name": "tank = [{ name = " + "[" * 400 + "]" * 400 + " }]\n",
    "empty": "",
    "a comment alone": "# nothing yet\n",
    "numbers for tables": "use = 5\ntank = 5\nroof = 5\nplace = 5\nrain = 5\nplan = 5\ngoal = 5\n",
    "numbers for parts": 'use = [5, [1], "a"]\ntank = [5]\nline = [{ outlets = 5 }]\n',
    "no names": "use = [{ name = {} }, { name = [] }]\nname = nan\n",
    "unknown tables": "[another]\nfield = 1\n",
    "no numbers": "[place]\nlatitude = nan\nlongitude = inf\n[plan]\nnorth = nan\ntree = [5]\n",
}
PAGES = (
    *("", ".json", "/text", "/line", "/papers", "/rain", "/rain/stations", "/trace", "/trace.json"),
    *("/versions", "/field-sheet", "/field-sheet.json", "/field-sheet/bring", "/whole", "/doubts"),
    *("/part/use/0", "/part/place", "/part/site", "/part/goal/a", "/entry?address=name"),
    *("/try?address=tank/0/height&level_m=2", "/try?address=roof/0/eave&level_m=nan"),
)
CHANGES: dict[str, dict[str, str]] = {
    "/add": {"address": "tank"},
    "/change": {"address": "use/0/when/months", "value": "Jan"},
    "/copy-part": {"address": "use/0"},
    "/take-out": {"address": "use/0"},
    "/shift": {"address": "use/0", "by": "1"},
    "/move": {"address": "tank/0/height", "level_m": "1"},
    "/rain/climate": {"climate": "dry-uplands"},
    "/fix": {"code": "x", "where": "y"},
    "/undo": {},
}


@pytest.mark.parametrize("text", ODD.values(), ids=ODD.keys())
def test_odd_files_break_no_page(client: TestClient, sites: Path, text: str) -> None:
    file = sites / "barrels" / "site.toml"
    file.write_text(text)
    for page in PAGES:
        assert client.get(f"/sites/barrels{page}").status_code in (200, 204, 404, 422), page
    assert client.get("/").status_code == client.get("/sites.json").status_code == 200
    assert client.get("/sites.json").json()["sites"][0]["site"] == "barrels"
    for what, told in CHANGES.items():
        answer = client.post(f"/sites/barrels{what}", data=told)
        assert answer.status_code < 500, what
        file.write_text(text)
