"""The data behind the pages, declared: what each address answers, and with what it refuses."""

from collections.abc import Callable, Mapping
from typing import Any

from fastapi import APIRouter, FastAPI
from fastapi.openapi.utils import get_openapi
from fastapi.responses import HTMLResponse

from eavewell.answers.schema import schema
from eavewell.web import district_layouts, layouts, log_layouts
from eavewell.web.pages import Pages

REFUSALS = {
    "400": "Asked for under a name that is not served",
    "401": "Shared, and not signed in",
    "403": "The change did not come from one of these pages",
    "404": "There is no such site or page",
    "405": "That cannot be asked of this address",
    "413": "More was sent than is taken",
    "414": "The address is too long",
    "422": "What was asked cannot be; the sentences say why",
}
SAYS = {
    "type": "object",
    "properties": {
        "says": {"type": "array", "items": {"type": "string"}, "description": "Sentences"}
    },
    "required": ["says"],
    "additionalProperties": False,
}


SCHEMAS: Mapping[str, Callable[[], dict[str, Any]]] = {
    "/built.json": district_layouts.built,
    "/built/round.json": district_layouts.built_round,
    "/roofs.json": district_layouts.roofs,
    "/roofs/{run}.json": district_layouts.roofs_of_run,
    "/sites.json": layouts.sites,
    "/sites/{name}.json": schema,
    "/sites/{name}/field-sheet.json": layouts.field_sheet,
    "/sites/{name}/log.json": log_layouts.log,
    "/sites/{name}/log/month.json": log_layouts.month,
    "/sites/{name}/log/phone.json": log_layouts.phone,
    "/sites/{name}/papers.json": layouts.papers,
    "/sites/{name}/rain.json": layouts.rain,
    "/sites/{name}/ahead.json": lambda: schema("ahead"),
    "/sites/{name}/due.json": lambda: schema("due"),
    "/sites/{name}/faults.json": lambda: schema("faults"),
    "/sites/{name}/leaks.json": lambda: schema("leaks"),
    "/sites/{name}/reconciled.json": lambda: schema("reconciled"),
    "/sites/{name}/tests.json": lambda: schema("results"),
    "/sites/{name}/today.json": lambda: schema("today"),
    "/sites/{name}/trace.json": layouts.trace,
    "/sites/{name}/versions.json": layouts.versions,
    "/sites/{name}/weighed.json": lambda: schema("weighed"),
    "/sites/{name}/year/{year}.json": lambda: schema("year"),
}


def declare(app: FastAPI) -> None:
    """Make the OpenAPI document complete: answers with their units, refusals with their form."""

    def openapi() -> dict[str, Any]:
        if app.openapi_schema is None:
            made = get_openapi(
                title=app.title,
                version=app.version,
                description=app.description,
                routes=app.routes,
            )
            made.setdefault("components", {}).setdefault("schemas", {})["Says"] = SAYS
            for path, ways in made["paths"].items():
                for way in ways.values():
                    _declare_one(way["responses"], path)
            app.openapi_schema = made
        return app.openapi_schema

    app.openapi = openapi  # type: ignore[method-assign]


def _declare_one(responses: dict[str, Any], path: str) -> None:
    for status, says in REFUSALS.items():
        responses[status] = _answers(says, {"$ref": "#/components/schemas/Says"})
    if made := SCHEMAS.get(path):
        responses["200"] = _answers("The answer", made())


def _answers(says: str, form: dict[str, Any]) -> dict[str, Any]:
    return {"description": says, "content": {"application/json": {"schema": form}}}


def router(pages: Pages, app: FastAPI) -> APIRouter:
    """The readable page of the data: every address, every figure with its unit."""
    routes = APIRouter(include_in_schema=False)

    @routes.get("/data")
    def data() -> HTMLResponse:
        addresses = {
            path: way["summary"]
            for path, ways in app.openapi()["paths"].items()
            for way in ways.values()
        }
        told = {path: tuple(layouts.told(SCHEMAS[path]())) for path in addresses if path in SCHEMAS}
        return HTMLResponse(pages.html("data.html", addresses=addresses, layouts=told))

    return routes
