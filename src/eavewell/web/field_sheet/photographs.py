"""The photographs of a visit, looked at: each beside what it shows, in the order of the walk."""

from typing import Any

from fastapi import APIRouter, HTTPException, Response
from fastapi.responses import FileResponse, HTMLResponse

from eavewell.files.field.photograph import PHOTOS, item_of, photographs
from eavewell.web.desk import OnDesk
from eavewell.web.field_sheet.made import items_of
from eavewell.web.pages import Pages


def router(pages: Pages) -> APIRouter:
    """The page, and each picture."""
    routes = APIRouter(include_in_schema=False)

    @routes.get("/sites/{name}/field-sheet/photographs")
    def page(name: str) -> HTMLResponse:
        shown = pages.desk.known(pages.site(name))
        told = {"title": shown.title, "kept": _kept(shown)}
        return HTMLResponse(pages.html("field_photographs.html", name=name, **told))

    @routes.get("/sites/{name}/field-sheet/photographs/{file}")
    def picture(name: str, file: str) -> Response:
        folder = pages.site(name).inside(PHOTOS)
        if file not in photographs(folder):
            raise HTTPException(404, "There is no such photograph here.")
        return FileResponse(folder / file, media_type="image/jpeg")

    return routes


def _kept(shown: OnDesk) -> list[dict[str, Any]]:
    """Every photograph with what it shows; those of items that are gone come last."""
    items = items_of(shown)
    order = {name: at for at, name in enumerate(items)}
    kept = sorted(
        photographs(shown.folder.inside(PHOTOS)),
        key=lambda one: (order.get(item_of(one), len(order)), one),
    )
    return [
        {"file": one, "shows": items[item_of(one)].label if item_of(one) in items else one}
        for one in kept
    ]
