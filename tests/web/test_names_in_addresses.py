"""A site may be called anything a folder may be: its pages are found, and changes lead back."""

import shutil
from pathlib import Path
from urllib.parse import quote

import pytest
from fastapi.testclient import TestClient

NAMES = ("日本の家", 'a "b" & <c>, 50 % #1?\n')


@pytest.mark.parametrize("name", NAMES)
def test_a_change_leads_back_to_its_page(client: TestClient, sites: Path, name: str) -> None:
    shutil.copytree(sites / "barrels", sites / name)
    way = f"/sites/{quote(name, '')}"
    assert client.get(way).status_code == 200
    version = client.get(f"{way}/trace.json").json()["version"]
    text = (sites / name / "site.toml").read_text()
    told = {"text": text + "# mended\n", "version": version}
    for what, back, data in (
        ("/text", "", told),
        ("/rain/climate", "/rain", {"climate": "dry-uplands"}),
        ("/versions/keep", "/versions", {"version": "first"}),
        ("/versions/take", "/versions", {"version": "first"}),
    ):
        answer = client.post(f"{way}{what}", data=data)
        assert answer.status_code == 204, what
        assert answer.headers["hx-redirect"] == f"{way}{back}"
