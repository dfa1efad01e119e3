"""Versions of a site side by side: what differs, what comes of it, and choices to keep as one."""

import tomllib
from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Form, HTTPException, Query
from fastapi.responses import HTMLResponse, Response

from eavewell.answers.shown import Sizes
from eavewell.faults import BadSite
from eavewell.files.site.differ import differing
from eavewell.report.versions import side_by_side
from eavewell.web.changes import write
from eavewell.web.desk import OnDesk, needed, system_of
from eavewell.web.front_plate import front_plate
from eavewell.web.pages import Pages
from eavewell.web.site_folders import SiteFolder, version_of
from eavewell.web.versions import (
    MOST_VERSIONS,
    Version,
    keep,
    remove,
    version_called,
    versions_of,
)
from eavewell.web.weighings import Weighings

NOW = "as it stands"
MOST_REMEMBERED = 1000
Name = Annotated[str, Form(max_length=200)]
Seen = Annotated[str, Form(max_length=40)]
Picked = Annotated[int | None, Query(ge=0, le=10_000)]


def router(pages: Pages) -> APIRouter:
    """The page of a site's versions, its data, and the choices weighed."""
    routes, weighings = APIRouter(), Weighings()
    _looked_at(routes, pages, weighings=weighings)
    _changed(routes, pages, weighings=weighings)
    return routes


def _looked_at(routes: APIRouter, pages: Pages, *, weighings: Weighings) -> None:
    before: set[str] = set()  # versions that were worked out before, and so cost no wait

    @routes.get("/sites/{name}/versions.json", summary="Versions of one site, side by side")
    def data(name: str) -> dict[str, Any]:
        return _compared(pages, pages.site(name))

    @routes.get("/sites/{name}/weighed.json", summary="The choices of one site, weighed")
    def choices(name: str) -> dict[str, Any]:
        return weighings.of(pages.desk, needed(pages.desk(pages.site(name))))

    @routes.get("/sites/{name}/versions", include_in_schema=False)
    def page(name: str, choice: Picked = None) -> HTMLResponse:
        folder = pages.site(name)
        shown, kept = pages.desk(folder), versions_of(folder)
        parts: dict[str, Any] = {
            "title": shown.title,
            "kept": len(kept),
            "most": MOST_VERSIONS,
            "choice": choice,
            "weighs": "weigh" in (shown.raw or {}) or choice is not None,
            "compared": None,
            "ready": {},
        }
        if not kept or _mark_of(kept) in before:
            parts["compared"] = _compared(pages, folder)
        if weighings.has(shown):
            parts["ready"] = _weighed(pages, shown, choice=choice, weighings=weighings)
        return HTMLResponse(pages.html("versions.html", shown=shown, name=name, **parts))

    @routes.get("/sites/{name}/versions/table", include_in_schema=False)
    def table(name: str) -> HTMLResponse:
        folder = pages.site(name)
        found = _compared(pages, folder)
        if len(before) > MOST_REMEMBERED:
            before.clear()
        before.add(_mark_of(versions_of(folder)))
        told = {"compared": found, "arrived": "The versions are worked out."}
        return HTMLResponse(pages.html("pieces/versions_table.html", name=name, **told))

    @routes.get("/sites/{name}/versions/weighed", include_in_schema=False)
    def weighed(name: str, choice: Picked = None) -> HTMLResponse:
        shown = needed(pages.desk(pages.site(name)))
        parts = _weighed(pages, shown, choice=choice, weighings=weighings)
        parts |= {"shown": shown, "arrived": "The choices are weighed."}
        return HTMLResponse(pages.html("pieces/weighed.html", name=name, **parts))


def _changed(routes: APIRouter, pages: Pages, *, weighings: Weighings) -> None:
    @routes.post("/sites/{name}/versions/keep", include_in_schema=False)
    def keep_present(name: str, version: Name) -> Response:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            keep(folder, version, text=folder.text())
        return _again(folder)

    @routes.post("/sites/{name}/versions/take", include_in_schema=False)
    def take(name: str, version: Name) -> Response:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            write(pages.desk(folder), version_called(folder, version).text)
        return _again(folder)

    @routes.post("/sites/{name}/versions/remove", include_in_schema=False)
    def take_away(name: str, version: Name) -> Response:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            remove(folder, version)
        return _again(folder)

    @routes.post("/sites/{name}/versions/choice", include_in_schema=False)
    def keep_choice(
        name: str, version: Name, *, choice: Annotated[int, Form(ge=0)], of: Seen
    ) -> Response:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            shown = needed(pages.desk(folder))
            if shown.version != of:
                raise BadSite("The site was changed meanwhile: load the page again.")
            text = _picked(pages, shown, choice=choice, weighings=weighings)["text"]
            keep(folder, version, text=text)
        return _again(folder)


def _again(folder: SiteFolder) -> Response:
    """The page anew."""
    return Response(status_code=204, headers={"hx-redirect": f"{folder.address}/versions"})


def _mark_of(kept: Sequence[Version]) -> str:
    """A mark of all their texts."""
    return version_of("\0".join(one.text for one in kept))


def _compared(pages: Pages, folder: SiteFolder) -> dict[str, Any]:
    """Every version as a column, the present one first; what differs, then what comes of it."""
    now = pages.desk(folder)
    kept = versions_of(folder)
    tried = [now, *(pages.desk.tried(folder, one.text) for one in kept)]
    names = [NOW, *(one.name for one in kept)]
    answers = [one.answer if one.fresh else None for one in tried]
    sizes = Sizes(system_of(now))
    return {
        "columns": [
            {
                "name": name,
                "now": row == 0,
                "faults": [fault.says for fault in one.faults],
                "as_now": row > 0 and one.text == now.text,
            }
            for row, (name, one) in enumerate(zip(names, tried, strict=True))
        ],
        "differs": [
            {"field": list(one.way), "label": one.label, "values": list(one.values)}
            for one in differing([one.raw or {} for one in tried], system=sizes.system)
        ],
        "results": side_by_side(list(zip(names, answers, strict=True)), sizes),
    }


def _weighed(
    pages: Pages, shown: OnDesk, *, choice: int | None, weighings: Weighings
) -> dict[str, Any]:
    """The choices as a plate and a list, and the one that was picked."""
    answer = weighings.of(pages.desk, shown)
    sizes = Sizes(system_of(shown))
    listed = weighings.listed(answer, sizes)
    choice = choice if choice is None or choice < len(listed) else None
    way = f"{shown.folder.address}/versions"
    plate = front_plate(answer, listed, way=way, picked=choice)
    picked = None if choice is None else _picked(pages, shown, choice=choice, weighings=weighings)
    return {"answer": answer, "choices": listed, "plate": plate, "picked": picked, "choice": choice}


def _picked(pages: Pages, shown: OnDesk, *, choice: int, weighings: Weighings) -> dict[str, Any]:
    """A choice as a version: its text, what that changes, and what no text can say."""
    try:
        text, told = weighings.text_of(pages.desk, shown, row=choice)
    except IndexError:
        raise HTTPException(404, "There is no such choice.") from None
    return {
        "text": text,
        "differs": differing(
            [tomllib.loads(shown.text), tomllib.loads(text)], system=system_of(shown)
        ),
        **told,
    }
