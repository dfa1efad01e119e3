"""One site on one long page from sky to tap: describe it, and see what comes of it beside it."""

from typing import Annotated, Any

from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse

from eavewell.faults import EavewellFault
from eavewell.files.site.fields import Field, fields
from eavewell.files.site.toml_lines import Address
from eavewell.web.changes import changed, with_change
from eavewell.web.desk import OnDesk, needed, system_of
from eavewell.web.forms import as_written, entry_at, steps
from eavewell.web.page_parts import page_parts
from eavewell.web.pages import Pages


def router(pages: Pages) -> APIRouter:
    """The page of one site, its data, and every change to it."""
    routes = APIRouter()

    @routes.get("/sites/{name}.json", summary="The answer of one site")
    def data(name: str) -> dict[str, Any]:
        return _answer(pages.desk(pages.site(name)))

    @routes.get("/sites/{name}", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        shown = pages.desk(pages.site(name))
        template = "mend.html" if shown.raw is None else "site.html"
        return HTMLResponse(pages.html(template, **page_parts(shown)))

    @routes.post("/sites/{name}/change", include_in_schema=False)
    def change(
        name: str,
        *,
        address: Annotated[str, Form()],
        value: Annotated[str, Form()] = "",
        was: Annotated[str, Form()] = "",
    ) -> HTMLResponse:
        return put(pages, name, way=steps(address), typed=(value, was))

    return routes


def _answer(shown: OnDesk) -> dict[str, Any]:
    return dict(needed(shown).answer or {})


def put(pages: Pages, name: str, *, way: Address, typed: tuple[str, str | None]) -> HTMLResponse:
    """Set one field; what cannot be is refused in place and stays as it was typed.

    typed : the value, and what stood there when it was typed; None where the page does not tell.
    """
    folder = pages.site(name)
    value, was = typed
    with pages.desk.lock_of(folder):
        field = _field(way)
        before = pages.desk(folder)
        refused = with_change(before, way, value=as_written(value, field), was=was or "")
        if not refused:
            changed(before, way, value=as_written(value, field))
        shown = pages.desk(folder)
    entry = entry_at(shown.raw or {}, way, faults=shown.faults, system=system_of(shown))
    page = pages.html(
        "changed.html", entry=entry, refused=refused, typed=value, **page_parts(shown)
    )
    return HTMLResponse(page, status_code=422 if refused else 200)


def _field(way: Address) -> Field:
    section = "site"
    for step in way[:-1]:
        section = fields()[section][step].inner if isinstance(step, str) else section
    try:
        return fields()[section][str(way[-1])]
    except (KeyError, IndexError):
        raise EavewellFault("There is no such field.") from None
