"""The whole log of a site: taken along as a file that another log takes, or erased by its owner."""

from io import StringIO
from typing import Annotated

from fastapi import APIRouter, Form, Response
from fastapi.responses import HTMLResponse

from eavewell.faults import BadLog
from eavewell.logbook.entries.whole_log import written_to
from eavewell.logbook.store.store import Store
from eavewell.web.last_read import has_log
from eavewell.web.logged import logged
from eavewell.web.pages import Pages
from eavewell.web.things import to_keep


def router(pages: Pages) -> APIRouter:
    """The page, the file, and the erasing."""
    routes = APIRouter(include_in_schema=False)

    @routes.get("/sites/{name}/log/whole")
    def page(name: str) -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            told = {"title": log.shown.title, "called": log.site.name, "begun": has_log(log.shown)}
        return HTMLResponse(pages.html("log_whole.html", name=name, **told))

    @routes.get("/sites/{name}/log/whole.txt")
    def whole(name: str) -> Response:
        out = StringIO()
        with logged(pages, name, designed=False) as log:
            written_to(out, log.site, store=log.store)
        return to_keep(out.getvalue(), f"{name} log.txt", kind="text/plain; charset=utf-8")

    @routes.post("/sites/{name}/log/erase")
    def erase(name: str, called: Annotated[str, Form(max_length=400)] = "") -> Response:
        """Erase the log; called : the name of the site, so that it is meant."""
        with logged(pages, name, designed=False) as log:
            if not isinstance(log.store, Store):
                raise BadLog("No log was begun here: there is nothing to erase.")
            if called.strip() != log.site.name:
                raise BadLog(f"Nothing was erased: the site is called '{log.site.name}'.")
            log.store.erase()
        return Response(status_code=204, headers={"hx-redirect": f"{pages.site(name).address}/log"})

    return routes
