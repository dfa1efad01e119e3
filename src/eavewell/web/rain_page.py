"""The rain of a site: which record it is designed on, how good it is, and the whole of it."""

import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Form, UploadFile
from fastapi.responses import HTMLResponse, Response

from eavewell.answers.every_day import every_day_answer
from eavewell.answers.shown import Sizes, spell
from eavewell.faults import BadRecord, BadSite, EavewellFault
from eavewell.files.rain.readers import read_rain
from eavewell.files.rain.station import bring_station, nearest_stations
from eavewell.files.record import record_named
from eavewell.files.site.toml_lines import Address
from eavewell.report.rain_record import rain_page
from eavewell.site.rain import Rain
from eavewell.site.rain_record import RainRecord
from eavewell.tables import rows
from eavewell.web.changes import changed_together
from eavewell.web.desk import OnDesk, system_of
from eavewell.web.pages import Pages
from eavewell.web.site_folders import SiteFolder

RECORDS = "records"
LARGEST_RECORD = 20_000_000
WAYS = ("record", "station", "climate")


def router(pages: Pages) -> APIRouter:
    """The rain's page, its days as data, and three ways of bringing a record in."""
    routes = APIRouter()

    @routes.get("/sites/{name}/rain.json", summary="Rain and level of every day of the record")
    def data(name: str) -> dict[str, Any]:
        shown = pages.desk.quick(pages.site(name))
        if shown.design is None:
            raise BadSite(shown.faults)
        return every_day_answer(shown.design)

    @routes.get("/sites/{name}/rain", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        return HTMLResponse(pages.html("rain.html", **_page(pages.desk.quick(pages.site(name)))))

    @routes.get("/sites/{name}/rain/stations", include_in_schema=False)
    def stations(name: str) -> HTMLResponse:
        shown = pages.desk.quick(pages.site(name))
        return HTMLResponse(pages.html("pieces/stations.html", **_stations(shown)))

    @routes.post("/sites/{name}/rain/file", include_in_schema=False)
    def by_file(name: str, file: UploadFile, *, unit: Annotated[str, Form()] = "") -> Response:
        folder = pages.site(name)
        data = file.file.read(LARGEST_RECORD + 1)
        with pages.desk.lock_of(folder):  # two at once could take the same free name
            kept = _kept(folder, file.filename or "record.csv", data=data, unit=unit)
        return _taken(pages, folder, told={"record": kept, "unit": unit or None})

    @routes.post("/sites/{name}/rain/station", include_in_schema=False)
    def by_station(
        name: str,
        *,
        station: Annotated[str, Form()],
        distance: Annotated[str, Form()] = "",
        height: Annotated[str, Form()] = "",
    ) -> Response:
        folder = pages.site(name)
        bring_station(station, folder.inside(RECORDS))
        told = {"station": station, "distance": distance or None, "height": height or None}
        return _taken(pages, folder, told=told)

    @routes.post("/sites/{name}/rain/climate", include_in_schema=False)
    def by_climate(name: str, climate: Annotated[str, Form()]) -> Response:
        if climate not in _climates():
            raise BadRecord(f"There is no invented climate '{climate[:40]}'.")
        return _taken(pages, pages.site(name), told={"climate": climate})

    return routes


def _page(shown: OnDesk) -> dict[str, Any]:
    rain, record = (shown.raw or {}).get("rain"), _record(shown)
    return {
        "shown": shown,
        "name": shown.folder.name,
        "title": shown.title,
        "system": system_of(shown),
        "rain": rain if isinstance(rain, Mapping) else {},
        "climates": _climates(),
        "blocks": rain_page(record, Sizes(system_of(shown))) if record else [],
        "invented": record is not None and record.invented,
        "days": shown.design is not None,
        **_spells(shown),
    }


def _climates() -> list[str]:
    return [row["climate"] for row in rows("climates/climates")]


def _record(shown: OnDesk) -> RainRecord | None:
    """The record that the file names, also where the rest of it is not whole yet; None without."""
    rain = (shown.raw or {}).get("rain")
    said = rain if isinstance(rain, Mapping) else {}
    words = {key: said[key] for key in (*WAYS, "unit") if isinstance(said.get(key), str)}
    try:
        return record_named(Rain(**words), folder=str(shown.folder.path))
    except EavewellFault:
        return None


def _spells(shown: OnDesk) -> dict[str, Any]:
    if shown.design is None:
        return {"spells": [], "sizes": None}
    spells = every_day_answer(shown.design)["spells"]
    return {"spells": spells, "spell": spell, "sizes": Sizes(system_of(shown))}


def _stations(shown: OnDesk) -> dict[str, Any]:
    """The nearest public stations, or why there is no list."""
    place = (shown.raw or {}).get("place")
    at = place if isinstance(place, Mapping) else {}
    try:
        latitude, longitude = float(at["latitude"]), float(at["longitude"])
    except (KeyError, TypeError, ValueError):
        says = "The list needs latitude and longitude: give them under Place and rain."
        return {"says": says, "stations": (), "name": shown.folder.name, "sizes": None}
    elevation_m = shown.answer["place"]["elevation_m"] if shown.answer else None
    try:
        found = nearest_stations(latitude, longitude, elevation_m=elevation_m)
    except EavewellFault as refused:
        return {
            "says": f"No list of stations: {refused.faults[0].says}",
            "stations": (),
            "name": shown.folder.name,
            "sizes": None,
        }
    sizes = Sizes(system_of(shown))
    return {"says": "", "stations": found, "name": shown.folder.name, "sizes": sizes}


def _kept(folder: SiteFolder, name: str, *, data: bytes, unit: str) -> str:
    """Read a record that was brought in and keep it under its own name; its path in the site."""
    if len(data) > LARGEST_RECORD:
        raise BadRecord("The file is too large for a daily record.")
    stem = "".join(one if one.isalnum() or one in "-_. " else "-" for one in Path(name).name)
    target = folder.inside(RECORDS, stem.lstrip(".") or "record.csv")
    target.parent.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".") as aside:
        tried = Path(aside, target.name)
        tried.write_bytes(data)
        read_rain(tried, unit=unit)
        if target.exists() and target.read_bytes() != data:
            raise BadRecord(f"{target.name} is there already and is another record: rename yours.")
        tried.replace(target)
    return f"{RECORDS}/{target.name}"


def _taken(pages: Pages, folder: SiteFolder, *, told: Mapping[str, str | None]) -> Response:
    """Name the record in the site file, and no other; distances belong to a station alone."""
    left: dict[str, str | None] = dict.fromkeys((*WAYS, "unit", "distance", "height"))
    with pages.desk.lock_of(folder):
        changes: dict[Address, object] = {
            ("rain", field): value for field, value in {**left, **told}.items()
        }
        changed_together(pages.desk.quick(folder), changes)
    return Response(status_code=204, headers={"hx-redirect": f"{folder.address}/rain"})
