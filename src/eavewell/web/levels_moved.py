"""A level moved on the section: what the field would say, what would come of it, and saying so."""

from typing import Annotated

from fastapi import APIRouter, Form, HTTPException, Query
from fastapi.responses import HTMLResponse

from eavewell.files.site.edit import changed_text
from eavewell.files.site.fields import fields
from eavewell.files.site.toml_lines import Address
from eavewell.units import show
from eavewell.web.addresses import part_named, steps
from eavewell.web.desk import OnDesk, system_of
from eavewell.web.page_parts import page_parts
from eavewell.web.pages import Pages
from eavewell.web.site_page import put

MOVABLE = {("roof", "eave"), ("tank", "height"), ("tank", "diameter")}
HIGHEST_M = 500.0
AddressText = Annotated[str, Form(max_length=80)]
Of = Annotated[str, Form(max_length=2_000)]
Metres = Annotated[float, Form(ge=-HIGHEST_M, le=HIGHEST_M)]


def router(pages: Pages) -> APIRouter:
    """Trying and moving a level."""
    routes = APIRouter(include_in_schema=False)

    @routes.get("/sites/{name}/try")
    def tried(
        name: str,
        *,
        address: Annotated[str, Query(max_length=80)],
        level_m: Annotated[float, Query(ge=-HIGHEST_M, le=HIGHEST_M)],
        from_m: Annotated[float, Query(ge=-HIGHEST_M, le=HIGHEST_M)] = 0.0,
    ) -> HTMLResponse:
        shown = pages.desk.quick(pages.site(name))
        way, value = _moved(shown, address, height_m=level_m - from_m)
        text = changed_text(shown.text, way, value=value, file=str(shown.folder.file))
        found = pages.desk.tried(shown.folder, text)
        return HTMLResponse(pages.html("pieces/tried.html", value=value, **page_parts(found)))

    @routes.post("/sites/{name}/move")
    def move(
        name: str, address: AddressText, *, level_m: Metres, from_m: Metres = 0.0, of: Of = ""
    ) -> HTMLResponse:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            shown = pages.desk.quick(folder)
            way, value = _moved(shown, address, height_m=level_m - from_m)
            if part_named(shown.raw or {}, way) != of:
                says = "The drawing is older than the file: load the page again, then move it."
                raise HTTPException(409, says)
            return put(pages, name, way=way, typed=[value])

    return routes


def _moved(shown: OnDesk, address: str, *, height_m: float) -> tuple[Address, str]:
    """The field and what it would say, in the units that the site shows."""
    way = steps(address)
    if len(way) != 3 or (way[0], way[2]) not in MOVABLE:
        raise HTTPException(422, "That level cannot be moved on the section: type it instead.")
    quantity = fields()[str(way[0])][str(way[2])].quantity
    return way, show(height_m, quantity, system=system_of(shown))
