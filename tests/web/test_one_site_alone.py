"""A folder that is itself a site: its page opens, and no other site is begun within it."""

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from eavewell.web.app import pages


@pytest.mark.parametrize("what", ["/sites", "/sites/barrels/copy", "/sites/barrels/bin"])
def test_no_site_is_begun_copied_or_binned_within_a_site(sites: Path, what: str) -> None:
    folder = sites / "barrels"
    client = TestClient(
        pages(folder, mark="ours"),
        base_url="http://127.0.0.1",
        headers={"x-eavewell-mark": "ours"},
    )
    before = sorted(folder.rglob("*"))
    answer = client.post(what, data={"name": "another"})
    assert answer.status_code == 422 and "open the folder above it" in answer.text
    assert sorted(folder.rglob("*")) == before
    assert client.get("/sites/barrels/text").status_code == 200
