"""Home: the sites of a folder as a ruled register, one line a site."""

import re
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, UploadFile
from fastapi.responses import HTMLResponse, Response

from eavewell.answers.shown import Sizes
from eavewell.files.site.new_site import STARTERS
from eavewell.files.site.reader import site_of_text, text_brought
from eavewell.files.toml_text import LARGEST_BYTES
from eavewell.web.desk import OnDesk
from eavewell.web.last_read import has_log, last_read
from eavewell.web.pages import Pages
from eavewell.web.site_folders import BLANK, SiteFolder


def router(pages: Pages) -> APIRouter:
    """The register and what can be done with whole sites."""
    routes = APIRouter()

    @routes.get("/", include_in_schema=False)
    def register(put: Annotated[str, Query(max_length=200)] = "") -> HTMLResponse:
        return HTMLResponse(pages.html("register.html", **_register(pages, put=put)))

    @routes.get("/sites.json", summary="The sites of the folder, one entry a site")
    def sites() -> dict[str, Any]:
        return {"sites": [_line(pages.desk.quick(one)) for one in pages.folders]}

    @routes.get("/sites/{name}/line", include_in_schema=False)
    def line(name: str) -> HTMLResponse:
        worked_out = _line(pages.desk.quick(pages.site(name)))
        return HTMLResponse(pages.html("pieces/register_line.html", line=worked_out))

    @routes.post("/sites", include_in_schema=False)
    def begin(name: Annotated[str, Form()], like: Annotated[str, Form()] = "barrels") -> Response:
        return _open(pages.folders.new(name.strip(), like=like))

    @routes.post("/sites/bring", include_in_schema=False)
    def bring(name: Annotated[str, Form()], file: UploadFile) -> Response:
        called = file.filename or "the site file"
        text = text_brought(file.file.read(LARGEST_BYTES + 1), file=called)
        site_of_text(text, file=called)
        return _open(pages.folders.bring(name.strip(), text))

    @routes.post("/sites/{name}/copy", include_in_schema=False)
    def copy(name: str) -> Response:
        with pages.desk.lock_of(pages.site(name)):
            return _open(pages.folders.copy(pages.site(name).name))

    @routes.post("/sites/{name}/bin", include_in_schema=False)
    def put_in_bin(name: str) -> Response:
        with pages.desk.lock_of(pages.site(name)):
            put = pages.folders.put_in_bin(pages.site(name).name)
        return Response(status_code=204, headers={"hx-redirect": f"/?put={quote(put)}"})

    @routes.post("/bin/{binned}/back", include_in_schema=False)
    def take_back(binned: str) -> Response:
        return _open(pages.folders.take_back(binned))

    return routes


def _register(pages: Pages, *, put: str) -> dict[str, Any]:
    """The lines, the bin, and what was put there just now."""
    binned = [_binned(one) for one in pages.folders.binned()]
    return {
        "lines": [_line(pages.desk.known(one)) for one in pages.folders],
        "starters": STARTERS,
        "blank": BLANK,
        "binned": binned,
        "put": next((one for one in binned if one["key"] == put), None),
    }


def _binned(key: str) -> dict[str, str | None]:
    """A site in the bin: its name, and the day on which it was put there."""
    stamp, _, name = key.partition(" ")
    day = re.match(r"(\d{4})(\d\d)(\d\d)-", stamp)
    return {"key": key, "name": name or key, "day": "-".join(day.groups()) if day else None}


def _line(shown: OnDesk) -> dict[str, Any]:
    """One site in one line; None for what is not known."""
    line: dict[str, Any] = {
        "name": shown.folder.name,
        "site": shown.title,
        "place": None,
        "supplied_share": None,
        "longest_short_days": None,
        "longest_short_from": None,
        "longest_short_to": None,
        "invented": None,
        "findings": None,
        "faults": [one.says for one in shown.faults],
        "log": has_log(shown),
        "last_reading": last_read(shown),
    }
    if shown.fresh and shown.answer:
        storage, found = shown.answer["storage"], shown.answer["findings"]
        line |= {
            "place": _place(shown.answer["place"]),
            "supplied_share": storage["supplied_share"],
            "longest_short_days": storage["longest_short_days"],
            "longest_short_from": storage["longest_short"]["from"],
            "longest_short_to": storage["longest_short"]["to"],
            "invented": shown.answer["rain"]["invented"],
            "findings": sum(one["level"] in ("stop", "fix") for one in found),
        }
    return line


def _place(place: dict[str, Any]) -> str | None:
    if place["latitude"] is None or place["longitude"] is None:
        return None
    sides = ("N" if place["latitude"] >= 0 else "S", "E" if place["longitude"] >= 0 else "W")
    height = place["elevation_m"]
    above = "" if height is None else f", {Sizes(place['show']).height(height)}"
    return f"{abs(place['latitude']):g} {sides[0]}, {abs(place['longitude']):g} {sides[1]}{above}"


def _open(folder: SiteFolder) -> Response:
    """Go to the page of a site, from a form of ours or from a plain one."""
    return Response(status_code=204, headers={"hx-redirect": folder.address})
