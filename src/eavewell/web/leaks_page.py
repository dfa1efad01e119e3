"""The leak tests of a log on a page: what was found, and the least leak that each test can show."""

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from eavewell.report.leaks import leaks_sections
from eavewell.web.logged import logged
from eavewell.web.pages import Pages
from eavewell.web.today_parts import Plain, leaks_by_log


def router(pages: Pages) -> APIRouter:
    """The leak tests of a site, and their data."""
    routes = APIRouter()

    @routes.get("/sites/{name}/leaks.json", summary="The leak tests by the log of one site")
    def leaks(name: str) -> Plain:
        with logged(pages, name) as log:
            return leaks_by_log(log)

    @routes.get("/sites/{name}/leaks", include_in_schema=False)
    def tried(name: str) -> HTMLResponse:
        with logged(pages, name) as log:
            answer = leaks_by_log(log)
            told = {"name": log.shown.folder.name, "title": log.shown.title, "day": answer["day"]}
            blocks = leaks_sections(answer, system=answer["show"])
            return HTMLResponse(pages.html("leaks.html", blocks=blocks, **told))

    return routes
