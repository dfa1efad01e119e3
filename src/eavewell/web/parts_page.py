"""Parts of a site opened, added, copied, taken out, moved; changes taken back; the text."""

import json
from typing import Annotated, Any

from fastapi import APIRouter, Form, HTTPException, Query, Response
from fastapi.responses import HTMLResponse

from eavewell.files.site.toml_spans import Address
from eavewell.web.addresses import field_of, part_named, steps
from eavewell.web.changes import added, copied, redone, shifted, taken_out, undone
from eavewell.web.desk import OnDesk
from eavewell.web.page_parts import form_of, page_parts, site_itself
from eavewell.web.pages import Pages
from eavewell.web.site_folders import version_of
from eavewell.web.site_page import known_field, mended
from eavewell.web.undo import kept_and_written

AddressText = Annotated[str, Form(max_length=400)]
Of = Annotated[str, Form(max_length=2_000)]
Version = Annotated[str, Query(max_length=40)]
Seen = Annotated[str, Form(max_length=40)]


def router(pages: Pages) -> APIRouter:
    """Opening parts, changing which there are, taking changes back, mending the text."""
    routes = APIRouter(include_in_schema=False)
    _opened(routes, pages)
    _arranged(routes, pages)
    _taken_back(routes, pages)
    _as_text(routes, pages)
    return routes


def _opened(routes: APIRouter, pages: Pages) -> None:
    @routes.get("/sites/{name}/part/{address:path}")
    def part(name: str, address: str) -> HTMLResponse:
        shown = pages.desk.quick(pages.site(name))
        if address == "site":
            found = site_itself(shown, opened=True)
        else:
            found = form_of(shown).part(_part_way(shown, address))
        of = part_named(shown.raw or {}, (*steps(address), ""))
        return HTMLResponse(
            pages.html("pieces/part_body.html", part=found, name=name, of=of, shown=shown)
        )

    @routes.get("/sites/{name}/entry")
    def entry(name: str, address: Annotated[str, Query(max_length=400)]) -> HTMLResponse:
        shown = pages.desk.quick(pages.site(name))
        known_field(steps(address))
        found = form_of(shown).entry(steps(address))
        return HTMLResponse(pages.html("pieces/entry.html", entry=found, name=name, clash=None))

    @routes.get("/sites/{name}/seen")
    def seen(name: str, version: Version = "") -> Response:
        folder = pages.site(name)
        now = version_of(folder.text())
        if now == version:
            return Response(status_code=204)
        return HTMLResponse(pages.html("pieces/outside.html", name=name))

    @routes.get("/sites/{name}/whole")
    def whole(name: str) -> Response:
        return whole_page(pages, name, says="")


def _arranged(routes: APIRouter, pages: Pages) -> None:
    @routes.post("/sites/{name}/add")
    def add(name: str, address: AddressText) -> Response:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            before = pages.desk.quick(folder)
            made = added(before, _list_way(address))
            return whole_page(pages, name, says="Added.", opened=made)

    @routes.post("/sites/{name}/copy-part")
    def copy(name: str, address: AddressText, *, of: Of = "", version: Seen = "") -> Response:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            before = pages.desk.quick(folder)
            made = copied(before, _same_part(before, address, shown=(of, version)))
            return whole_page(pages, name, says="Duplicated.", opened=made)

    @routes.post("/sites/{name}/take-out")
    def take_out(name: str, address: AddressText, *, of: Of = "", version: Seen = "") -> Response:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            before = pages.desk.quick(folder)
            way = _same_part(before, address, shown=(of, version))
            title = form_of(before).summary(way).title
            taken_out(before, way)
            return whole_page(pages, name, says=f"Taken out: {title}.")

    @routes.post("/sites/{name}/shift")
    def shift(
        name: str,
        address: AddressText,
        *,
        by: Annotated[int, Form(ge=-1, le=1)],
        of: Of = "",
        version: Seen = "",
    ) -> Response:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            before = pages.desk.quick(folder)
            way = _same_part(before, address, shown=(of, version))
            shifted(before, way, by=by)
            return whole_page(pages, name, says="Moved.", opened=(*way[:-1], int(way[-1]) + by))


def _taken_back(routes: APIRouter, pages: Pages) -> None:
    @routes.post("/sites/{name}/undo")
    def undo(name: str) -> Response:
        return _stepped(pages, name, back=True)

    @routes.post("/sites/{name}/redo")
    def redo(name: str) -> Response:
        return _stepped(pages, name, back=False)


def _stepped(pages: Pages, name: str, *, back: bool) -> Response:
    folder = pages.site(name)
    with pages.desk.lock_of(folder):
        unread = pages.desk.quick(folder).raw is None
        done = undone(folder) if back else redone(folder)
        if not done:
            raise HTTPException(422, "There is nothing to take back or to do again.")
        if unread:  # nothing of the page of the site is shown yet
            return Response(status_code=204, headers={"hx-redirect": folder.address})
        return whole_page(pages, name, says="Taken back." if back else "Done again.")


def _as_text(routes: APIRouter, pages: Pages) -> None:
    @routes.get("/sites/{name}/text")
    def text(name: str) -> HTMLResponse:
        shown = pages.desk.quick(pages.site(name))
        return HTMLResponse(pages.html("mend.html", **mended(shown)))

    @routes.post("/sites/{name}/text")
    def save(
        name: str, *, text: Annotated[str, Form()] = "", version: Annotated[str, Form()] = ""
    ) -> Response:
        folder = pages.site(name)
        typed = text.replace("\r\n", "\n")
        with pages.desk.lock_of(folder):
            before = pages.desk.quick(folder)
            if version != before.version:
                page = pages.html("pieces/text_clash.html", **mended(before))
                return HTMLResponse(page, status_code=409)
            mark = "\r\n" if "\r\n" in before.text else "\n"
            kept_and_written(folder, typed.replace("\n", mark).encode("utf-8", errors="replace"))
        return Response(status_code=204, headers={"hx-redirect": folder.address})


def whole_page(pages: Pages, name: str, *, says: str, opened: Address | None = None) -> Response:
    """Everything of the page that shows the file, and what was done."""
    shown = pages.desk.quick(pages.site(name))
    if shown.raw is None:
        return Response(status_code=204, headers={"hx-redirect": shown.folder.address})
    told: dict[str, Any] = {"shown-anew": {}}
    if opened is not None:
        told = {"shown-anew": {"open": form_of(shown).summary(opened).id}}
    parts = page_parts(shown)
    pages.sent.note(shown, parts["reaches"])
    page = pages.html("whole.html", says=says, **parts)
    return HTMLResponse(page, headers={"hx-trigger-after-settle": json.dumps(told)})


def _part_way(shown: OnDesk, address: str) -> Address:
    """The address of a part; 404 where there can be none."""
    way = steps(address)
    try:
        inner = field_of(way).inner
    except KeyError:
        inner = ""
    if not inner or inner == "goals":
        raise HTTPException(404, "There is no such part.")
    return way


def _list_way(address: str) -> Address:
    way = steps(address)
    try:
        is_list = field_of(way).quantity.startswith("list ") and isinstance(way[-1], str)
    except KeyError:
        is_list = False
    if not is_list:
        raise HTTPException(404, "There is no such list.")
    return way


def _same_part(now: OnDesk, address: str, *, shown: tuple[str, str]) -> Address:
    """The address of a part, where the file or at least its names are as the page showed them."""
    way, (of, version) = _part_way(now, address), shown
    if version != now.version and part_named(now.raw or {}, (*way, "")) != of:
        says = "The parts of the file stand in another order by now: load the page again."
        raise HTTPException(409, says)
    return way
