"""A gauge that the site file calls otherwise: told on the page of the log, which follows."""

from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

LOG = "/sites/barrels/log"
ROD = """
[log]
zone = "America/Chicago"
[[log.gauge]]
name = "rod"
measures = "level"
of = "{tank}"
how = "stick"
"""


@pytest.fixture
def file(client: TestClient, sites: Path) -> Path:
    """The site file, its gauge read as "rod" and called "tank rod" since."""
    file = sites / "barrels" / "site.toml"
    tank = client.get(f"{LOG}.json").json()["gauges"][0]["of"]
    text = file.read_text(encoding="utf-8") + ROD.format(tank=tank)
    file.write_text(text, encoding="utf-8")
    client.post(f"{LOG}/reading", data={"gauge": "rod", "said": "20 in"})
    file.write_text(text.replace('"rod"', '"tank rod"'), encoding="utf-8")
    return file


def rename(client: TestClient, was: str, now: str) -> Any:
    return client.post(f"{LOG}/rename", data={"was": was, "now": now})


def last(client: TestClient) -> str:
    gauges = client.get(f"{LOG}.json").json()["gauges"]
    said = next(one["last"] for one in gauges if one["gauge"] == "tank rod")
    return str(said and said["says"])


def test_the_page_tells_it_and_the_log_follows(client: TestClient, file: Path) -> None:
    page = client.get(LOG).text
    assert "Readings of &#39;rod&#39; stand in the log" in page
    assert "<option selected>tank rod</option>" in page and last(client) == "None"
    assert "&#39;rod&#39; stand in the log" in client.get("/sites/barrels/leaks").text
    done = rename(client, "rod", "tank rod")
    assert done.status_code == 200 and done.headers["hx-refresh"] == "true"
    assert last(client) == "20 in" and "stand in the log" not in client.get(LOG).text


def test_what_cannot_be_is_told_there(client: TestClient, file: Path) -> None:
    answer = rename(client, "rod", "somewhere")
    assert answer.status_code == 422 and 'role="alert"' in answer.text
    assert "There is no gauge" in answer.text or "has no gauge" in answer.text
    assert rename(client, "tank rod", "rain").status_code == 422
    assert "Readings of &#39;rod&#39; stand in the log" in client.get(LOG).text
