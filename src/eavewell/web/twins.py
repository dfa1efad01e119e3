"""The data behind the pages, declared: what each address answers, and with what it refuses."""

from collections.abc import Callable, Mapping
from typing import Any

from fastapi import APIRouter, FastAPI
from fastapi.openapi.utils import get_openapi
from fastapi.responses import HTMLResponse

from eavewell.answers.schema import keys, schema
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


def _list(name: str, *items: tuple[str, list[str], str]) -> dict[str, Any]:
    """An object with one list of objects; items : key, types and meaning of each."""
    fields: dict[str, Any] = {key: {"type": kind, "description": says} for key, kind, says in items}
    if "faults" in fields:
        fields["faults"]["items"] = {"type": "string"}
    one = {"type": "object", "properties": fields, "required": list(fields)}
    held = {name: {"type": "array", "items": one}}
    return {"type": "object", "properties": held, "required": [name]}


def _sites() -> dict[str, Any]:
    return _list(
        "sites",
        ("name", ["string"], "Name of its folder, which stands in its address"),
        ("site", ["string"], "Name of the site"),
        ("place", ["string", "null"], "Where it lies, as printed"),
        ("supplied_share", ["number", "null"], "Share of the wanted water supplied, 0 to 1"),
        ("longest_short_days", ["integer", "null"], "Longest run of days that fell short, days"),
        ("findings", ["integer", "null"], "Findings to mend"),
        ("faults", ["array"], "What keeps the site from being worked out"),
        ("last_reading", ["string", "null"], "Day of the last reading"),
    )


def _papers() -> dict[str, Any]:
    return _list(
        "papers",
        ("file", ["string"], "Name of the file"),
        ("bytes", ["integer"], "Its size, bytes"),
    )


def _versions() -> dict[str, Any]:
    said = {"type": "array", "items": {"type": "string"}, "description": "One for each version"}
    figures = said | {"items": {"type": ["number", "null"]}, "description": "In SI units"}
    columns = _list(
        "columns",
        ("name", ["string"], "What the version is called"),
        ("now", ["boolean"], "Whether it is the site as it stands"),
        ("as_now", ["boolean"], "Whether it is kept and says the same as the site"),
        ("faults", ["array"], "What keeps it from being worked out"),
    )
    differs = _list(
        "differs",
        ("field", ["array"], "Way down to the field"),
        ("label", ["string"], "The same in words"),
        ("values", ["array"], "As written in each version; empty where it is not"),
    )
    results = _list(
        "results",
        ("result", ["string"], "Which one"),
        ("label", ["string"], "The same in words"),
        ("best", ["array"], "Rows of the versions that do best"),
        ("says", ["string"], "Which does better, in words"),
    )
    one = results["properties"]["results"]["items"]
    one["properties"] |= {"values": figures, "words": said}
    parts = (columns, differs, results)
    held = {name: form for part in parts for name, form in part["properties"].items()}
    return {"type": "object", "properties": held, "required": list(held)}


SCHEMAS: Mapping[str, Callable[[], dict[str, Any]]] = {
    "/sites.json": _sites,
    "/sites/{name}.json": schema,
    "/sites/{name}/papers.json": _papers,
    "/sites/{name}/versions.json": _versions,
    "/sites/{name}/weighed.json": lambda: schema("weighed"),
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
        addresses = [
            (path, way["summary"])
            for path, ways in app.openapi()["paths"].items()
            for way in ways.values()
        ]
        layouts = [("A site's answer", keys("design")), ("Weighed choices", keys("weighed"))]
        return HTMLResponse(pages.html("data.html", addresses=addresses, layouts=layouts))

    return routes
