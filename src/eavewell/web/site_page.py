"""One site on one long page from sky to tap: describe it, and see what comes of it beside it."""

import json
from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Form, HTTPException, Response
from fastapi.responses import HTMLResponse

from eavewell.faults import BadQuantity
from eavewell.files.site.fields import Field
from eavewell.files.site.toml_spans import Address
from eavewell.web.addresses import field_of, steps
from eavewell.web.changes import changed, history_of, meanwhile, with_change
from eavewell.web.desk import OnDesk, needed
from eavewell.web.forms import as_typed, as_written
from eavewell.web.page_parts import form_of, page_parts, summaries
from eavewell.web.pages import Pages

DOUBTED = "tanks"
Text = Annotated[str, Form(max_length=20_000)]
Cells = Annotated[Sequence[str], Form(max_length=600)]


def router(pages: Pages) -> APIRouter:
    """The page of one site, its data, and every change to a field of it."""
    routes = APIRouter()

    @routes.get("/sites/{name}.json", summary="The answer of one site")
    def data(name: str) -> dict[str, Any]:
        return _answer(pages.desk(pages.site(name)))

    @routes.get("/sites/{name}", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        shown = pages.desk.quick(pages.site(name))
        if shown.raw is None:
            return HTMLResponse(pages.html("mend.html", **mended(shown)))
        parts = page_parts(shown)
        pages.sent.note(shown, parts["reaches"])
        return HTMLResponse(pages.html("site.html", **parts))

    @routes.get("/sites/{name}/doubts", include_in_schema=False)
    def doubted(name: str) -> Response:
        folder = pages.site(name)
        shown = pages.desk(folder)
        if not shown.fresh or folder.text() != shown.text:
            return Response(status_code=204)
        one = next(one for one in page_parts(shown)["reaches"] if one["reach"].name == DOUBTED)
        return HTMLResponse(pages.html("pieces/results.html", one=one, shown=shown, name=name))

    @routes.post("/sites/{name}/change", include_in_schema=False)
    def change(
        name: str,
        *,
        address: Text,
        value: Cells = (),
        was: Text = "",
        of: Text = "",
        version: Text = "",
    ) -> HTMLResponse:
        shown = (was, of, version)
        return put(pages, name, way=steps(address), typed=value, shown=shown)

    return routes


def _answer(shown: OnDesk) -> dict[str, Any]:
    return dict(needed(shown).answer or {})


def mended(shown: OnDesk, *, text: str | None = None) -> dict[str, Any]:
    """What stands on the page of a file that is shown as its text."""
    if text is None and not shown.text and shown.folder.file.is_file():
        text = shown.folder.file.read_bytes().decode("utf-8", errors="replace")
    return {
        "shown": shown,
        "name": shown.folder.name,
        "title": shown.title,
        "text": shown.text if text is None else text,
        "version": shown.version,
        "history": history_of(shown.folder),
    }


def put(
    pages: Pages,
    name: str,
    *,
    way: Address,
    typed: Sequence[str],
    shown: tuple[str, str, str] | None = None,
) -> HTMLResponse:
    """Set one field; what cannot be is refused in place and stays as it was typed.

    typed : the value, or its cells. shown : what the page showed there, the names of the parts
            it belonged to and the version of the file; None where no field was shown.
    """
    folder, field = pages.site(name), known_field(way)
    with pages.desk.lock_of(folder):
        before = pages.desk.quick(folder)
        was, of, version = shown or ("", "", "")
        clash = meanwhile(before, way, was=was, of=of, version=version) if shown else None
        if clash and [clash[0]] != [one.strip() for one in typed]:  # sent again, it is no clash
            return _refused(pages, before, way=way, typed=typed, told=clash)
        try:
            value = as_written(typed, field)
            refused = with_change(before, way, value=value)
        except BadQuantity as wrong:
            refused = wrong.faults[0].says
        if refused:
            return _refused(pages, before, way=way, typed=typed, told=(None, refused))
        changed(before, way, value=value)
        page_of = version if shown else None
        now = pages.desk.quick(folder)
        return _done(pages, now, way=way, page_of=page_of, file_was=before.version)


def _refused(
    pages: Pages,
    before: OnDesk,
    *,
    way: Address,
    typed: Sequence[str],
    told: tuple[str | None, str],
) -> HTMLResponse:
    """The field as it was typed, why it is not in the file, and what the file says instead."""
    now, says = told
    entry = as_typed(form_of(before).entry(way), typed, fault=says)
    page = pages.html("pieces/entry.html", entry=entry, name=before.folder.name, clash=now)
    return HTMLResponse(page, status_code=422 if now is None else 409)


def _done(
    pages: Pages, shown: OnDesk, *, way: Address, page_of: str | None, file_was: str
) -> HTMLResponse:
    """The field as it stands, and everything on the page that has changed with it.

    page_of  : the version that the page showed; None where the change came from no field, which
               may then stand on the page as it was.
    file_was : the version before the change: another one where the file was changed outside.
    """
    parts = page_parts(shown)
    differing = parts["reaches"]
    if page_of and page_of == file_was:
        differing = pages.sent.differing(shown, differing, version=page_of)
    pages.sent.note(shown, parts["reaches"])
    page = pages.html(
        "changed.html",
        entry=form_of(shown).entry(way),
        summaries=summaries(shown, way),
        outside=page_of not in (None, "", file_was),
        **parts | {"reaches": differing},
    )
    stale: dict[str, Any] = {"stale": {}} if way[-1] == "name" or page_of is None else {}
    return HTMLResponse(page, headers={"hx-trigger-after-settle": json.dumps(stale)})


def known_field(way: Address) -> Field:
    """The field that an address leads to; 404 where there is none."""
    try:
        field = field_of(way)
    except KeyError:
        field = None
    if field is None or field.inner:
        raise HTTPException(404, "There is no such field.")
    return field
