"""The look ahead on a page: a rain, a load or another use moves it; all of it is invented."""

import re
from datetime import datetime

import jsonschema
import pytest
from fastapi.testclient import TestClient

from eavewell.answers.schema import schema
from eavewell.web import logged

GALLON_L = 3.785411784
NOW = datetime.fromisoformat("2027-03-05T09:00:00-06:00")
PAGE, DATA = "/sites/barrels/ahead", "/sites/barrels/ahead.json"


@pytest.fixture
def read(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    monkeypatch.setattr(logged, "now", lambda: NOW)
    client.post("/sites/barrels/today", data={"value": "20 in", "when": "8:00"})
    return client


def lasts_days(client: TestClient, **typed: str) -> float:
    answer = client.get(DATA, params=typed).json()
    jsonschema.validate(answer, schema("ahead"))
    (supply,) = answer["supplies"]
    return float((supply["week"] if answer["week_l_per_day"] else supply["plan"])["days"])


def test_the_fan_has_its_words_and_its_numbers_beside_it(read: TestClient) -> None:
    page = read.get(PAGE).text
    (named,) = re.findall(r'<svg class="plate fan"[^>]*aria-label="([^"]*)"', page)
    assert "Water in all tanks for a year from 5 Mar 2027 through" in named
    assert page.count('class="band"') == 5  # four of the fan, one of its key
    assert "driest tenth" in page and "1 Apr 2027</td>" in page
    assert "What a cut gains" in page
    assert " style=" not in page


def test_a_stated_load_lasts_as_long_as_its_volume(read: TestClient) -> None:
    """10 gal at 2 gal/day last five days more; the first use alone draws to the outlet."""
    before = lasts_days(read, use="2 gal/day")
    after = lasts_days(read, use="2 gal/day", load="10 gal on tomorrow")
    assert after - before == pytest.approx(5.0, abs=0.01)


def test_another_use_and_rain_move_it(read: TestClient) -> None:
    assert lasts_days(read, use="4 gal/day") < lasts_days(read, use="2 gal/day")
    assert lasts_days(read, rain="0.2 in on tomorrow; 0.2 in on Monday") > lasts_days(read)
    assert lasts_days(read, level="25 in") > lasts_days(read)


def test_the_day_to_reach_is_asked(read: TestClient) -> None:
    (reach,) = read.get(DATA, params={"reach": "2027-06-01", "chance": "20 %"}).json()["reach"]
    assert (reach["until"], reach["chance_asked"]) == ("2027-06-01", 0.2)


def test_htmx_gets_the_piece_and_an_address_to_come_back_to(read: TestClient) -> None:
    asked = {"hx-request": "true"}
    answer = read.get(PAGE, params={"rain": "0.8 in on Friday"}, headers=asked)
    assert answer.text.lstrip().startswith('<div id="looked">')
    assert answer.headers["hx-replace-url"] == "?rain=0.8+in+on+Friday"
    later = "/ahead/cuts?rain=0.8+in+on+Friday"
    assert f'hx-get="/sites/barrels{later}"' in answer.text
    assert "What a cut gains" in read.get(f"/sites/barrels{later}").text
    assert read.get(PAGE, headers=asked).headers["hx-replace-url"] == "ahead"


def test_what_is_typed_wrong_is_told_and_leaves_the_rest(read: TestClient) -> None:
    typed = {"rain": "some on Friday"}
    piece = read.get(PAGE, params=typed, headers={"hx-request": "true"})
    assert piece.status_code == 422 and piece.headers["hx-retarget"] == "#wrong"
    whole = read.get(PAGE, params=typed)
    assert whole.status_code == 422 and 'value="some on Friday"' in whole.text
    assert read.get(DATA, params=typed).status_code == 422
    assert read.get(PAGE, params={"rain": "x" * 300}).status_code == 422


def test_without_a_reading_the_page_says_so(client: TestClient) -> None:
    page = client.get(PAGE)
    assert page.status_code == 200 and "its level was never read" in page.text
    assert "<svg" not in page.text
