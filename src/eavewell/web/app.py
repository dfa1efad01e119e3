"""The server of the pages: one folder of sites, on this computer unless told otherwise."""

from collections.abc import Awaitable, Callable
from importlib.metadata import version
from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware

from eavewell.faults import EavewellFault
from eavewell.web import (
    levels_moved,
    papers_page,
    parts_page,
    rain_page,
    register_page,
    site_page,
    things,
)
from eavewell.web.guard import Guard, mark_of_this_computer
from eavewell.web.pages import Pages
from eavewell.web.sign_in import Keys, SignedIn
from eavewell.web.sign_in import router as sign_in_router

Answered = Callable[[Request, Exception], Awaitable[Response]]
SAYS = {404: "There is no such page.", 405: "That cannot be asked of this page."}
LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})


def pages(
    folder: Path | str,
    *,
    hosts: frozenset[str] = LOOPBACK,
    mark: str = "",
    keys: Keys | None = None,
) -> FastAPI:
    """The pages of a folder of sites.

    hosts : names under which they may be asked for.
    mark  : what a change must carry; "" for that of this computer.
    keys  : who is signed in, where the pages are shared; None where only this computer asks.
    """
    mark = mark or mark_of_this_computer()
    shared = Pages.of(Path(folder).resolve(), mark)
    app = FastAPI(
        title="Eavewell",
        version=version("eavewell"),
        description="The data behind each page; every size in SI units, the unit in its name.",
        docs_url=None,
        redoc_url=None,
    )
    for part in (
        register_page,
        papers_page,
        rain_page,
        site_page,
        parts_page,
        levels_moved,
        things,
    ):
        app.include_router(part.router(shared))
    if keys is not None:
        app.include_router(sign_in_router(shared, keys))
        app.add_middleware(SignedIn, keys=keys)
    app.add_middleware(GZipMiddleware, minimum_size=500)
    app.add_middleware(Guard, hosts=hosts, mark=mark)
    app.add_exception_handler(EavewellFault, _refused(shared))
    app.add_exception_handler(HTTPException, _not_there(shared))
    return app


def _refused(shared: Pages) -> Answered:
    async def answer(request: Request, refused: Exception) -> Response:
        faults = getattr(refused, "faults", ())
        return _told(shared, request, says=[one.says for one in faults], status=422)

    return answer


def _not_there(shared: Pages) -> Answered:
    async def answer(request: Request, refused: Exception) -> Response:
        status = getattr(refused, "status_code", 500)
        says = SAYS.get(status, str(getattr(refused, "detail", "")))
        return _told(shared, request, says=[says], status=status)

    return answer


def _told(shared: Pages, request: Request, *, says: list[str], status: int) -> Response:
    """The sentences as data for data, as a page for a page, as a note within a page."""
    if request.url.path.endswith(".json"):
        return JSONResponse({"says": says}, status_code=status)
    name = "note.html" if request.headers.get("hx-request") else "refused.html"
    return HTMLResponse(shared.html(name, says=says), status_code=status)
