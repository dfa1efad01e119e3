"""The data behind the pages keeps what its OpenAPI document says, whatever is asked."""

from pathlib import Path

import hypothesis
import schemathesis
from fastapi.testclient import TestClient
from hypothesis import HealthCheck

from eavewell.web.app import pages
from eavewell.web.twins import SCHEMAS

HEADERS = {"host": "127.0.0.1", "x-eavewell-mark": "ours"}


def test_every_answer_is_as_declared(sites: Path):
    app = pages(sites, mark="ours")
    described = schemathesis.openapi.from_asgi("/openapi.json", app, headers=HEADERS)
    operations = [one.ok() for one in described.get_all_operations()]
    assert len(operations) >= 4
    for operation in operations:

        @hypothesis.settings(
            max_examples=8,
            derandomize=True,
            database=None,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        )
        @hypothesis.given(case=operation.as_strategy())
        def asked(case):
            case.call_and_validate(headers=HEADERS)

        asked()


def test_a_real_site_answers_as_declared(client: TestClient):
    import jsonschema

    declared = client.get("/openapi.json").json()
    for path, ways in declared["paths"].items():
        answer = client.get(path.replace("{name}", "barrels"))
        if answer.status_code != 200:  # it asks for more than a name, and says so
            assert path not in SCHEMAS and answer.status_code == 422
            assert answer.json()["says"]
            continue
        told = ways["get"]["responses"]
        assert {"400", "403", "404", "413", "422"} <= told.keys()
        form = told["200"]["content"]["application/json"]["schema"]
        jsonschema.validate(answer.json(), {**form, "components": declared["components"]})


def test_the_readable_page_names_addresses_and_units(client: TestClient):
    page = client.get("/data").text
    for words in ("/sites/{name}.json", "storage.supplied_share", "degrees", "North positive"):
        assert words in page
