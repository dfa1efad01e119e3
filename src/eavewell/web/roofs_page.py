"""Many roofs: the results of screenings that lie in the folder, looked through page by page."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, HTTPException, Query
from fastapi.responses import FileResponse, HTMLResponse, Response

from eavewell.district.folder_files import BAD_ROWS, PROGRAMME, RUN
from eavewell.district.looked_through import Seen
from eavewell.district.roof_index import (
    COLUMNS,
    Results,
    by_district,
    choices,
    in_the_rest,
    ready,
    results_of,
    roofs_seen,
)
from eavewell.district.run_page import ABOUT_RUNS, districts_block, sizes_block, told_first
from eavewell.faults import BadRoofs
from eavewell.units import show
from eavewell.web.looked import Address, Text, Turned, YesNo, looked, seen_plain, sort_of
from eavewell.web.pages import Pages

Plain = dict[str, Any]
# what may lie beside the results, and how it is called
PAPERS = {
    "programme.pdf": ("the paper of the programme", PROGRAMME),
    "programme.xlsx": ("as a workbook", PROGRAMME),
    "map.svg": ("the map", PROGRAMME),
    "map.geojson": ("the map as GeoJSON", PROGRAMME),
    BAD_ROWS: ("rows that were not screened", "."),
}
_INDEXED = Lock()


@dataclass(frozen=True, slots=True)
class Looked(Turned):
    """What one looks for among roofs, at one tank size; "" for anything."""

    size: Annotated[
        int | None,
        Query(ge=0, le=10_000, description="Row of the sizes, from 0; left out: told first"),
    ] = None
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
        found = _run(pages, run)
        size = _size(found, asked)
        size_l = {"size_l": found.run["sizes_l"][size]}
        groups = {"districts": by_district(found, size=size)}
        return _head(found, run) | size_l | groups | seen_plain(_seen(found, asked, size=size))

    @routes.get("/roofs/{run:path}/papers/{file}", include_in_schema=False)
    def paper(run: str, file: str) -> Response:
        path = _papers(_run(pages, run)).get(file)
        if path is None:
            raise HTTPException(404, "There is no such paper here.")
        return FileResponse(path, filename=file)

    @routes.get("/roofs/{run:path}", include_in_schema=False)
    def roofs(run: str, asked: Annotated[Looked, Depends()]) -> HTMLResponse:
        found = _run(pages, run)
        return HTMLResponse(pages.html("roofs_run.html", **_page(found, asked, way=run)))

    return routes


def _size(found: Results, asked: Looked) -> int:
    """Row of the size that is looked at; 404 where there is none."""
    size = told_first(found.run) if asked.size is None else asked.size
    if size >= len(found.run["sizes_l"]):
        raise HTTPException(404, "There is no such size in these results.")
    return size


def _papers(found: Results) -> dict[str, Path]:
    """Where each paper of the results lies; no link, neither it nor its folder."""
    paths = {file: found.folder / beside / file for file, (_, beside) in PAPERS.items()}
    return {file: path for file, path in paths.items() if path.is_file() and path.resolve() == path}


def _seen(found: Results, asked: Looked, *, size: int) -> Seen:
    return roofs_seen(found, asked.wanted, size=size)


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


def _run(pages: Pages, run: str) -> Results:
    """Results with their index; 404 where none lie there."""
    folder = dict(_found(pages)).get(run)
    if folder is None:
        raise HTTPException(404, f"There are no results called {run[:80]!r} here.")
    found = results_of(folder)
    with _INDEXED:
        ready(found)
    return found


def _head(found: Results, way: str) -> Plain:
    told = {key: found.run[key] for key in ("name", "screened", "bad_rows", "currency")}
    return {"run": way, **told, "sizes_l": found.run["sizes_l"], "says": found.run["says"]}


def _page(found: Results, asked: Looked, *, way: str) -> Plain:
    system, size = found.run["show"], _size(found, asked)
    table = looked(
        _seen(found, asked, size=size),
        COLUMNS,
        wanted=asked.wanted,
        address=Address(f"/roofs/{quote(way)}", {"size": str(size)}),
        show=system,
        choices=choices(found),
    )
    papers = {file: PAPERS[file][0] for file in _papers(found)}
    return _head(found, way) | {
        "table": table,
        "size": size,
        "sizes": [show(one, "volume", system=system) for one in found.run["sizes_l"]],
        "summary": sizes_block(found.run),
        "districts": districts_block(
            by_district(found, size=size), system=system, says=in_the_rest(found)
        ),
        "papers": papers,
        "about_runs": ABOUT_RUNS,
    }
