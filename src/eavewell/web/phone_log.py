"""The log on a telephone: one file that needs no server and no network, made for one site."""

from importlib.resources import files
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, Response

from eavewell.logbook.entries.phone_log import phone_answer
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages
from eavewell.web.things import to_keep

Plain = dict[str, Any]
SCRIPTS, STYLE = ("way_back.js", "phone_log.js"), "phone_log.css"


def router(pages: Pages) -> APIRouter:
    """The file to take along, the same within the pages, and what it takes along as data."""
    routes = APIRouter()

    @routes.get("/sites/{name}/log/phone.json", summary="What the log on a telephone takes along")
    def data(name: str) -> Plain:
        with logged(pages, name, designed=False) as log:
            return phone_answer(log.site, log.store, now=log.now)

    @routes.get("/sites/{name}/log/phone.html", include_in_schema=False)
    def alone(name: str) -> Response:
        with logged(pages, name, designed=False) as log:
            page = _page(pages, log, alone=True)
        return to_keep(page, f"{name} log.html", kind="text/html")

    @routes.get("/sites/{name}/log/phone", include_in_schema=False)
    def within(name: str) -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            return HTMLResponse(_page(pages, log, alone=False))

    return routes


def _page(pages: Pages, log: Logged, *, alone: bool) -> str:
    return pages.html(
        "phone_log.html",
        name=log.shown.folder.name,
        title=log.shown.title,
        made=f"{log.now:%Y-%m-%d %H:%M}",
        alone=alone,
        style=_static(STYLE) if alone else "",
        scripts=[_static(one).replace("</", "<\\/") for one in SCRIPTS] if alone else [],
        script_files=SCRIPTS,
        **phone_answer(log.site, log.store, now=log.now),
    )


def _static(name: str) -> str:
    return files("eavewell.web").joinpath("static", name).read_text(encoding="utf-8")
