"""A way out that the file can say by itself: made at a touch, worked out here and taken back."""

from collections.abc import Mapping
from typing import Annotated, Any
from urllib.parse import unquote

from fastapi import APIRouter, Form, HTTPException, Response

from eavewell.files.site.toml_spans import Address
from eavewell.web.addresses import field_of, rowed
from eavewell.web.changes import changed_together
from eavewell.web.desk import OnDesk
from eavewell.web.forms import as_written
from eavewell.web.pages import Pages
from eavewell.web.parts_page import whole_page

Told = Annotated[str, Form(max_length=400)]


def router(pages: Pages) -> APIRouter:
    """Making the changes of one finding."""
    routes = APIRouter(include_in_schema=False)

    @routes.post("/sites/{name}/fix")
    def fix(name: str, code: Told, *, where: Told) -> Response:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            before = pages.desk.quick(folder)
            found = _finding(before, code, where=where)
            changed_together(before, changes_of(before, found))
            return whole_page(pages, name, says=f"Changed {where}: {found['fix']}.")

    return routes


def _finding(shown: OnDesk, code: str, *, where: str) -> Mapping[str, Any]:
    """The finding as the file gives it now; 409 where it has gone meanwhile."""
    found = shown.answer["findings"] if shown.fresh and shown.answer else ()
    for one in found:
        if (one["code"], one["where"]) == (code, where) and one["changes"]:
            told: Mapping[str, Any] = one
            return told
    raise HTTPException(409, "The file says otherwise by now, and this is no longer to be mended.")


def changes_of(shown: OnDesk, found: Mapping[str, Any]) -> dict[Address, object]:
    """Each field and what it should say, as the file has it."""
    made: dict[Address, object] = {}
    for one in found["changes"]:
        way = rowed(shown.raw or {}, tuple(unquote(step) for step in one["address"].split("/")))
        value = one["value"]
        made[way] = None if value is None else as_written([value], field_of(way))
    return made
