"""The data behind the pages keeps what its OpenAPI document says, whatever is asked."""

import io
from datetime import date
from pathlib import Path
from typing import Any

import hypothesis
import jsonschema
import pytest
import schemathesis
from fastapi.testclient import TestClient
from hypothesis import HealthCheck
from PIL import Image

from eavewell.answers.schema import keys
from eavewell.files.underlay import lay
from eavewell.web import layouts
from eavewell.web.app import pages
from eavewell.web.twins import SCHEMAS

# two readings are not enough for it: it is tried with a log of its own
WANTS_MONTHS = "/sites/{name}/reconciled.json"
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


def _declared(client: TestClient) -> dict[str, Any]:
    """The form of each address's answer."""
    paths = client.get("/openapi.json").json()["paths"]
    assert paths.keys() == SCHEMAS.keys()
    told = {path: ways["get"]["responses"] for path, ways in paths.items()}
    assert all({"400", "403", "404", "413", "422"} <= one.keys() for one in told.values())
    return {path: one["200"]["content"]["application/json"]["schema"] for path, one in told.items()}


def _answers_as_declared(client: TestClient, name: str, *, left_out: tuple[str, ...] = ()) -> None:
    for when, said in (("yesterday 8:00", "21 in"), ("", "20 in")):
        read = client.post(f"/sites/{name}/today", data={"value": said, "when": when})
        assert read.status_code == 200
    year = str(date.today().year)
    for path, form in _declared(client).items():
        jsonschema.Draft202012Validator.check_schema(form)
        if path not in (*left_out, WANTS_MONTHS) and "{run}" not in path:
            answer = client.get(path.replace("{name}", name).replace("{year}", year))
            assert answer.status_code == 200, (path, answer.text)
            jsonschema.validate(answer.json(), form, format_checker=jsonschema.FormatChecker())


def test_a_real_site_answers_as_declared(client: TestClient) -> None:
    _answers_as_declared(client, "barrels")


def test_a_traced_site_with_versions_answers_as_declared(
    client: TestClient, whole_house: Path
) -> None:
    folder = whole_house / "whole-house"
    (folder / "versions").mkdir()
    text = (folder / "site.toml").read_text(encoding="utf-8")
    (folder / "versions" / "as bought.toml").write_text(text, encoding="utf-8")
    (folder / "versions" / "torn.toml").write_text("name = [", encoding="utf-8")
    lay(_picture(), folder / "plan")
    _answers_as_declared(client, "whole-house", left_out=("/sites/{name}/weighed.json",))
    traced = client.get("/sites/whole-house/trace.json").json()
    assert traced["underlay"]["wide_px"] == 40


def test_no_key_is_answered_that_is_not_declared(client: TestClient) -> None:
    for path, form in _declared(client).items():
        assert not form["additionalProperties"], path
        answer = client.get(path.replace("{name}", "barrels")).json()
        for wrong in (answer | {"more": 1}, dict(list(answer.items())[1:])):
            with pytest.raises(jsonschema.ValidationError):
                jsonschema.validate(wrong, form)


def test_a_file_with_faults_is_refused_as_data(client: TestClient, sites: Path) -> None:
    (sites / "barrels" / "site.toml").write_text('name = "bare"\n', encoding="utf-8")
    for path in ("rain.json", "papers.json", "weighed.json"):
        refused = client.get(f"/sites/barrels/{path}")
        assert refused.status_code == 422 and refused.json()["says"]


def _picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "white").save(out, "PNG")
    return out.getvalue()


def test_the_readable_page_names_addresses_and_units(client: TestClient):
    page = client.get("/data").text
    for words in ("/sites/{name}.json", "storage.supplied_share", "degrees", "North positive"):
        assert words in page


def test_the_readable_page_has_every_key_of_every_answer(client: TestClient) -> None:
    page = client.get("/data").text
    for path, form in _declared(client).items():
        for row in layouts.told(form):
            assert f'<th scope="row">{row["key"]}</th><td>{row["type"]}</td>' in page, path
            assert row["meaning"] and row["type"]
    design = {row["key"]: row for row in layouts.told(SCHEMAS["/sites/{name}.json"]())}
    assert design == {row["key"]: row for row in keys("design")}
    rain = {row["key"]: row["unit"] for row in layouts.told(layouts.rain())}
    assert (rain["rain_mm[]"], rain["level_l[]"], rain["spells[].short_days"]) == (
        "mm",
        "L",
        "days",
    )
