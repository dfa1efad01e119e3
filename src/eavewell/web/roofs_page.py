"""Many roofs: the results of screenings that lie in the folder, looked through page by page."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, HTTPException, Query
from fastapi.responses import FileResponse, HTMLResponse, Response

from eavewell.district.folder_files import RUN
from eavewell.district.looked_through import Seen
from eavewell.district.roof_index import (
    COLUMNS,
    Results,
    by_district,
    choices,
    ready,
    results_of,
    roofs_seen,
)
from eavewell.district.run_page import districts_block, sizes_block
from eavewell.faults import BadRoofs
from eavewell.units import show
from eavewell.web.looked import Address, Text, Turned, YesNo, looked, seen_plain, sort_of
from eavewell.web.pages import Pages

Plain = dict[str, Any]
# what may lie beside the results, and how it is called
PAPERS = {
    "programme.pdf": "Programme paper",
    "programme.xlsx": "Workbook",
    "map.svg": "Map",
    "map.geojson": "Map as GeoJSON",
    "bad_rows.csv": "Rows that were not screened",
}
_INDEXED = Lock()


@dataclass(frozen=True, slots=True)
class Looked(Turned):
    """What one looks for among roofs, at one tank size; "" for anything."""

    size: Annotated[int, Query(ge=0, le=10_000, description="Row of the sizes, from 0")] = 0
    id: Text = ""
    district: Text = ""
    use_set: Text = ""
    finish: Text = ""
    record: Text = ""
    reaches_goal: YesNo = ""
    sort: Annotated[str, sort_of(COLUMNS)] = ""


def router(pages: Pages) -> APIRouter:
    """The screenings of the folder, their roofs, and the papers beside them."""
    routes = APIRouter()

    @routes.get("/roofs.json", summary="The screenings of many roofs in the folder")
    def all_runs() -> Plain:
        return _runs(pages)

    @routes.get("/roofs", include_in_schema=False)
    def runs() -> HTMLResponse:
        return HTMLResponse(pages.html("roofs.html", **_runs(pages)))

    @routes.get("/roofs/{run:path}.json", summary="Roofs of one screening, a page of them")
    def data(run: str, asked: Annotated[Looked, Depends()]) -> Plain:
        found = _run(pages, run, size=asked.size)
        size_l = {"size_l": found.run["sizes_l"][asked.size]}
        groups = {"districts": by_district(found, size=asked.size)}
        return _head(found, run) | size_l | groups | seen_plain(_seen(found, asked))

    @routes.get("/roofs/{run:path}/papers/{file}", include_in_schema=False)
    def paper(run: str, file: str) -> Response:
        path = _run(pages, run).folder / file
        if file not in PAPERS or not path.is_file() or path.is_symlink():
            raise HTTPException(404, "There is no such paper here.")
        return FileResponse(path, filename=file)

    @routes.get("/roofs/{run:path}", include_in_schema=False)
    def roofs(run: str, asked: Annotated[Looked, Depends()]) -> HTMLResponse:
        found = _run(pages, run, size=asked.size)
        return HTMLResponse(pages.html("roofs_run.html", **_page(found, asked, way=run)))

    return routes


def _seen(found: Results, asked: Looked) -> Seen:
    return roofs_seen(found, asked.wanted, size=asked.size)


def _found(pages: Pages) -> Iterator[tuple[str, Path]]:
    """Folders of results by their way from the folder of sites, at most two down; no link."""
    home = pages.folders.path.resolve()
    for pattern in (f"*/{RUN}", f"*/*/{RUN}"):
        for file in sorted(home.glob(pattern)):
            inside = file.resolve() == file and file.is_file()
            way = file.parent.relative_to(home)
            if inside and not any(part.startswith(".") for part in way.parts):
                yield way.as_posix(), file.parent


def _runs(pages: Pages) -> Plain:
    told = []
    for way, folder in _found(pages):
        try:
            told.append(_head(results_of(folder), way))
        except BadRoofs:
            continue
    return {"runs": told}


def _run(pages: Pages, run: str, *, size: int = 0) -> Results:
    """Results with their index; 404 where none lie there, or none at that size."""
    folder = dict(_found(pages)).get(run)
    if folder is None:
        raise HTTPException(404, f"There are no results called {run[:80]!r} here.")
    found = results_of(folder)
    if size >= len(found.run["sizes_l"]):
        raise HTTPException(404, "There is no such size in these results.")
    with _INDEXED:
        ready(found)
    return found


def _head(found: Results, way: str) -> Plain:
    told = {key: found.run[key] for key in ("name", "screened", "bad_rows", "currency")}
    return {"run": way, **told, "sizes_l": found.run["sizes_l"], "says": found.run["says"]}


def _page(found: Results, asked: Looked, *, way: str) -> Plain:
    system = found.run["show"]
    table = looked(
        _seen(found, asked),
        COLUMNS,
        wanted=asked.wanted,
        address=Address(f"/roofs/{quote(way)}", {"size": str(asked.size)}),
        show=system,
        choices=choices(found),
    )
    papers = {file: words for file, words in PAPERS.items() if (found.folder / file).is_file()}
    return _head(found, way) | {
        "table": table,
        "size": asked.size,
        "sizes": [show(one, "volume", system=system) for one in found.run["sizes_l"]],
        "summary": sizes_block(found.run),
        "districts": districts_block(by_district(found, size=asked.size), system=system),
        "papers": papers,
    }
