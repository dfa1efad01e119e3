"""A meter that counts more than the file expects, and its figure taken over; all is invented."""

from datetime import datetime, timedelta
from pathlib import Path

import jsonschema
import pytest
from fastapi.testclient import TestClient

from eavewell.answers.schema import schema
from eavewell.files.site.reader import read_site
from eavewell.logbook.store import open_log
from eavewell.site.entry import Reading
from eavewell.web import logged

NOW = datetime.fromisoformat("2027-03-05T09:00:00+00:00")
PAGE = "/sites/whole-house/reconciled"
METER = """
[[log.gauge]]
name = "house meter"
measures = "meter"
uses = ["household"]
unit = "L"
"""
USED_L_DAY, DAYS = 600.0, 120


@pytest.fixture
def metered(
    client: TestClient, whole_house: Path, monkeypatch: pytest.MonkeyPatch
) -> tuple[TestClient, Path]:
    """120 days with a meter that counts 600 L a day, and a stick that stands still."""
    monkeypatch.setattr(logged, "now", lambda: NOW)
    file = whole_house / "whole-house" / "site.toml"
    file.write_text(file.read_text(encoding="utf-8") + METER, encoding="utf-8")
    read = []
    for day in range(DAYS):
        at = NOW - timedelta(days=DAYS - 1 - day, hours=1)
        read += [Reading("main", at, 1.0), Reading("house meter", at, USED_L_DAY * day)]
        read += [Reading("header", at, 1.0), Reading("rain", at, 0.0)]
    with open_log(read_site(file)) as store:
        store.add(read)
    return client, file


def test_a_figure_is_taken_over_at_a_press_and_taken_back(
    metered: tuple[TestClient, Path],
) -> None:
    client, file = metered
    answer = client.get(f"{PAGE}.json").json()
    jsonschema.validate(answer, schema("reconciled"))
    offers = [one for group in answer["groups"] for one in group["offers"]]
    (offer,) = (one for one in offers if one["code"] == "log-use")
    assert offer["measured"] == pytest.approx(USED_L_DAY, rel=0.01)
    page = client.get(PAGE).text
    assert "Take it over: " in page and "Nothing is changed by itself" in page
    before = file.read_text(encoding="utf-8")
    sent = {"code": offer["code"], "where": offer["where"]}
    assert "reckon with " in client.post(PAGE, data=sent).text
    after = file.read_text(encoding="utf-8")
    assert after != before and read_site(file).uses[0].name == "household"
    assert client.post("/sites/whole-house/undo").status_code == 200
    assert file.read_text(encoding="utf-8") == before


def test_what_the_log_does_not_offer_is_not_changed(metered: tuple[TestClient, Path]) -> None:
    client, file = metered
    before = file.read_text(encoding="utf-8")
    sent = {"code": "log-use", "where": "use 'garden'"}
    assert client.post(PAGE, data=sent).status_code == 409
    assert file.read_text(encoding="utf-8") == before


def test_too_short_a_log_says_so(client: TestClient) -> None:
    page = client.get("/sites/barrels/reconciled")
    assert page.status_code == 200 and "Take it over" not in page.text
