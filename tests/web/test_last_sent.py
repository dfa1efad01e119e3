"""What a change sends: the reaches that differ from what the page shows, and no others."""

import re

from fastapi.testclient import TestClient

RESULTS = re.compile(r'<div class="results[^"]*" id="r-(\w+)".*?\n</div>', re.DOTALL)


def _reaches(text: str) -> dict[str, str]:
    """The reaches of an answer by name, as they stand on a page."""
    return {
        found[1]: found[0].replace(' hx-swap-oob="true"', "") for found in RESULTS.finditer(text)
    }


def _version(text: str) -> str:
    return re.search(r'id="version" name="version" value="(\w+)"', text)[1]


def _changed(client: TestClient, value: str, *, was: str, version: str) -> str:
    told = {"address": "datum", "value": value, "was": was, "version": version}
    answered = client.post("/sites/barrels/change", data=told)
    assert answered.status_code == 200
    return answered.text


def test_a_page_put_together_from_changes_is_the_page_loaded_anew(client):
    page = client.get("/sites/barrels").text
    shown, version, was = _reaches(page), _version(page), _was(client)
    for value in ("the step", "the gate"):
        answer = _changed(client, value, was=was, version=version)
        assert len(_reaches(answer)) < len(shown)
        shown |= _reaches(answer)
        version, was = _version(answer), value
    whole = _reaches(client.get("/sites/barrels").text)
    assert {name: one for name, one in whole.items() if name != "tanks"} == {
        name: one for name, one in shown.items() if name != "tanks"
    }


def test_a_page_of_an_older_version_is_sent_everything(client):
    page = client.get("/sites/barrels").text
    old = _version(page)
    first = _changed(client, "the step", was=_was(client), version=old)
    again = _changed(client, "the gate", was="the step", version=old)
    assert len(_reaches(first)) < len(_reaches(again)) == len(_reaches(page))


def _was(client: TestClient) -> str:
    text = client.get("/sites/barrels/text").text.replace("&#34;", '"')
    found = re.search(r'(?m)^datum = "([^"]*)"', text)
    return found[1] if found else ""
