"""Tracing the plan: roofs, tanks, pipes, trees and the property line, by offsets or by hand."""

from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Form, HTTPException, UploadFile
from fastapi.responses import FileResponse, HTMLResponse, JSONResponse, Response
from pydantic import BaseModel, Field, FiniteFloat

from eavewell.faults import BadQuantity, BadSite, EavewellFault, Fault
from eavewell.files.offsets import read_bearing, read_degrees, read_offset
from eavewell.files.site.reader import site_of_text
from eavewell.files.site.toml_splices import standing_at
from eavewell.files.site.tracing import Drawn, drawn_in, roofs_in, traced_text
from eavewell.files.underlay import (
    LARGEST_BYTES,
    PICTURE,
    PLACE,
    Underlay,
    lay,
    set_place,
    set_scale,
    take_away,
    underlay_in,
)
from eavewell.report.on_sheet import booked, measured
from eavewell.site.outline import Corner
from eavewell.units import read
from eavewell.web.changes import write
from eavewell.web.desk import OnDesk, system_of
from eavewell.web.pages import Pages
from eavewell.web.site_folders import SiteFolder

PLAN = "plan"
UNITS: Mapping[str, str] = {"us": "ft", "metric": "m"}
Written = Annotated[str, Field(max_length=80)]


class Thing(BaseModel):
    """One thing on the sheet as the page sends it, its points as they are booked."""

    kind: Literal["plane", "tank", "pipe", "tree", "property"]
    of: Annotated[str, Field(max_length=200)] = ""
    roof: Annotated[int, Field(ge=-1, le=10_000)] = -1
    plane: Annotated[int, Field(ge=-1, le=10_000)] = -1
    points: Annotated[list[tuple[Written, Written]], Field(max_length=400)]
    across: Written = ""


class Drawing(BaseModel):
    """Everything on the sheet; version : of the site file when the page was shown."""

    things: Annotated[list[Thing], Field(max_length=400)]
    north: Written = ""
    version: Annotated[str, Field(max_length=40)] = ""


class Ends(BaseModel):
    """Two points on the sheet in m, and the distance between them where it is told."""

    ends_m: tuple[tuple[FiniteFloat, FiniteFloat], tuple[FiniteFloat, FiniteFloat]]
    distance: Written = ""


def router(pages: Pages) -> APIRouter:
    """The tracing page and what it asks."""
    routes = APIRouter()

    @routes.get("/sites/{name}/trace.json", summary="What is set out on the sheet of the plan")
    def data(name: str) -> dict[str, Any]:
        return _sheet(pages.desk.known(pages.site(name)))

    @routes.get("/sites/{name}/trace", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        shown = pages.desk.known(pages.site(name))
        unit = UNITS[system_of(shown)]
        told = {"shown": shown, "name": name, "title": shown.title, "unit": unit}
        return HTMLResponse(pages.html("trace.html", largest=LARGEST_BYTES, **told))

    @routes.post("/sites/{name}/trace/measured.json", include_in_schema=False)
    def measure(name: str, drawing: Drawing) -> dict[str, Any]:
        shown = pages.desk.known(pages.site(name))
        return {"things": [_measured(one, shown) for one in drawing.things]}

    @routes.post("/sites/{name}/trace/kept.json", include_in_schema=False)
    def keep(name: str, drawing: Drawing) -> JSONResponse:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            return _kept(pages.desk.known(folder), drawing)

    _with_picture(routes, pages)
    return routes


def _with_picture(routes: APIRouter, pages: Pages) -> None:
    """What is asked about the picture beneath the plan."""

    @routes.get("/sites/{name}/trace/underlay.png", include_in_schema=False)
    def picture(name: str) -> Response:
        file = _plan_folder(pages.site(name)) / PICTURE
        if not file.is_file():
            raise HTTPException(404)
        return FileResponse(file, media_type="image/png")

    @routes.post("/sites/{name}/trace/underlay.json", include_in_schema=False)
    def bring(name: str, file: UploadFile, *, page: Annotated[str, Form()] = "1") -> dict[str, Any]:
        folder = _plan_folder(pages.site(name))
        at = int(page) if page.isascii() and page.isdecimal() and len(page) < 6 else 1
        return _laid(lay(file.file.read(LARGEST_BYTES + 1), folder, page=at))

    @routes.post("/sites/{name}/trace/gone.json", include_in_schema=False)
    def gone(name: str) -> dict[str, Any]:
        take_away(_plan_folder(pages.site(name)))
        return {}

    @routes.post("/sites/{name}/trace/scale.json", include_in_schema=False)
    def scale(name: str, told: Ends) -> dict[str, Any]:
        folder = pages.site(name)
        far_m = read(_with_unit(told.distance, pages.desk.known(folder)), "length")
        return _laid(set_scale(_plan_folder(folder), told.ends_m, distance_m=far_m))

    @routes.post("/sites/{name}/trace/north.json", include_in_schema=False)
    def north(name: str, told: Ends) -> dict[str, Any]:
        pages.site(name)
        return {"north_deg": read_bearing(*told.ends_m)}

    @routes.post("/sites/{name}/trace/place.json", include_in_schema=False)
    def place(name: str, told: Thing) -> dict[str, Any]:
        folder = pages.site(name)
        unit = UNITS[system_of(pages.desk.known(folder))]
        along, offset = told.points[0] if told.points else ("", "")
        at_m = read_offset(along, offset, unit=unit)
        return _laid(set_place(_plan_folder(folder), at_m))


def _plan_folder(folder: SiteFolder) -> Path:
    """The folder of the picture; its files are refused where they are links to elsewhere."""
    for name in (PICTURE, PLACE):
        folder.inside(PLAN, name)
    return folder.inside(PLAN)


def _laid(laid: Underlay | None) -> dict[str, Any]:
    return asdict(laid) if laid else {}


def _with_unit(text: str, shown: OnDesk) -> str:
    """A bare number is in the unit of the page."""
    return f"{text} {UNITS[system_of(shown)]}" if text.strip()[-1:].isdecimal() else text


def _sheet(shown: OnDesk) -> dict[str, Any]:
    raw, system = shown.raw or {}, system_of(shown)
    unit = UNITS[system]
    north = standing_at(raw, (PLAN, "north"))
    return {
        "unit": unit,
        "metre": read(f"1 {unit}", "length"),
        "version": shown.version,
        "north": f"{north:g}" if type(north) in (int, float) else "",
        "things": [
            {
                "kind": one.kind,
                "of": one.of,
                "roof": one.roof,
                "plane": one.plane,
                "points": booked(one, unit),
                "points_m": one.points_m,
                "across": _across(one, raw),
                "across_m": one.across_m,
                **measured(one, system),
            }
            for one in _things(raw)
        ],
        "underlay": _laid(underlay_in(_plan_folder(shown.folder))),
    }


def _across(one: Drawn, raw: Mapping[str, Any]) -> str:
    """The crown of a tree as the file says it."""
    trees = standing_at(raw, (PLAN, "tree")) if one.kind == "tree" else None
    named = (each for each in trees or () if isinstance(each, dict) and each.get("name") == one.of)
    return str(next(named, {}).get("across", ""))


def _things(raw: Mapping[str, Any]) -> list[Drawn]:
    """What is on the sheet, and what could be: every plane, tank, pipe and the property line."""
    drawn = drawn_in(raw)
    known = {(one.kind, one.of): one for one in drawn}
    could = [Drawn("plane", one.of, (), one.roof, one.plane) for one in roofs_in(raw)]
    for kind, tables in (("tank", ("tank", "sump")), ("pipe", ("pipe",))):
        for table in tables:
            could += [Drawn(kind, one, ()) for one in _names(raw.get(table))]
    could.append(Drawn("property", "property line", ()))
    found = [known.get((one.kind, one.of), one) for one in could]
    return [*found, *(one for one in drawn if one.kind == "tree")]


def _names(raw: object) -> list[str]:
    named = (
        (one.get("name") for one in raw if isinstance(one, dict)) if isinstance(raw, list) else ()
    )
    return [one for one in named if isinstance(one, str)]


def _points(one: Thing, unit: str) -> tuple[list[Corner | None], list[str]]:
    """Each point, None where it cannot be read, and why."""
    found: list[Corner | None] = []
    says = []
    for along, offset in one.points:
        if not along.strip() or not offset.strip():  # half a point is no fault yet
            found.append(None)
            says.append("")
            continue
        try:
            found.append(read_offset(along, offset, unit=unit))
            says.append("")
        except BadQuantity as refused:
            found.append(None)
            says.append(refused.faults[0].says)
    return found, says


def _measured(one: Thing, shown: OnDesk) -> dict[str, Any]:
    system = system_of(shown)
    points, says = _points(one, UNITS[system])
    whole = tuple(at for at in points if at is not None)
    drawn = Drawn(one.kind, one.of, whole, one.roof, one.plane)
    unit = UNITS[system]
    across_m, wrong = _crown_m(one, shown)
    found = measured(drawn, system)
    return {
        "points_m": points,
        "point_says": says,
        "points": booked(drawn, unit) if len(whole) == len(points) else one.points,
        "across_m": across_m,
        **found,
        "says": found["says"] or wrong,
    }


def _crown_m(one: Thing, shown: OnDesk) -> tuple[float | None, str]:
    """How wide a tree is, and why that cannot be read."""
    try:
        return (read(_with_unit(one.across, shown), "length") if one.across.strip() else None), ""
    except BadQuantity as refused:
        return None, refused.faults[0].says


def _drawn(one: Thing, shown: OnDesk) -> Drawn:
    """One thing to be kept; BadSite with what is wrong with it."""
    system = system_of(shown)
    points, says = _points(one, UNITS[system])
    if any(says):
        raise BadSite([Fault(each) for each in says if each])
    if None in points:
        at = points.index(None) + 1
        raise BadSite(f"Point {at} of '{one.of or 'the property line'}' is not booked whole.")
    across_m, wrong = _crown_m(one, shown)
    if wrong:
        raise BadSite(wrong)
    whole = tuple(at for at in points if at is not None)
    drawn = Drawn(one.kind, one.of.strip(), whole, one.roof, one.plane, across_m)
    if wrong := measured(drawn, system)["says"]:
        raise BadSite(wrong)
    return drawn


def _kept(shown: OnDesk, drawing: Drawing) -> JSONResponse:
    if drawing.version != shown.version:
        says = "The site file was changed meanwhile: load the page again; nothing was written."
        return JSONResponse({"says": [says]}, status_code=409)
    if shown.raw is None:
        raise BadSite(shown.faults or "The site file cannot be read: mend it first.")
    drawn = [_drawn(one, shown) for one in drawing.things if one.points]
    file = str(shown.folder.file)
    text = traced_text(
        shown.text,
        drawn,
        unit=UNITS[system_of(shown)],
        north_deg=read_degrees(drawing.north),
        file=file,
    )
    _refuse_new_faults(shown, text)
    write(shown, text)
    return JSONResponse({"went": f"{shown.folder.address}/trace"})


def _refuse_new_faults(shown: OnDesk, text: str) -> None:
    """Faults of the sheet itself are refused; others are told on the site's page, as ever."""
    try:
        site_of_text(text, file=str(shown.folder.file), folder=str(shown.folder.path))
    except EavewellFault as refused:
        ours = [
            one for one in refused.faults if one.address[:1] == (PLAN,) or "corners" in one.address
        ]
        if ours:
            raise BadSite(ours) from None
