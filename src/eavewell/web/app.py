"""The server of the pages: one folder of sites, on this computer unless told otherwise."""

import sys
from collections.abc import Awaitable, Callable
from functools import partial
from importlib.metadata import version
from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware

from eavewell.faults import EavewellFault
from eavewell.web import register_page, things
from eavewell.web.guard import Guard, mark_of_this_computer
from eavewell.web.loaded_when_asked import LoadedWhenAsked
from eavewell.web.pages import Pages
from eavewell.web.sign_in import Keys, ReadWithin, SignedIn
from eavewell.web.sign_in import router as sign_in_router
from eavewell.web.site_folders import SiteFolder

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
    app.include_router(register_page.router(shared))
    app.include_router(things.router(shared))
    app.add_middleware(LoadedWhenAsked, load=partial(_load_others, app, shared))
    if keys is not None:
        app.include_router(sign_in_router(shared, keys))
        app.add_middleware(ReadWithin, folder=shared.folders.path)
        app.add_middleware(SignedIn, keys=keys)
    app.add_middleware(GZipMiddleware, minimum_size=500)
    app.add_middleware(Guard, hosts=hosts, mark=mark)
    app.add_exception_handler(EavewellFault, _refused(shared))
    app.add_exception_handler(HTTPException, _not_there(shared))
    app.add_exception_handler(RequestValidationError, _not_filled(shared))
    app.add_exception_handler(OSError, _not_taken(shared))
    return app


def _load_others(app: FastAPI, shared: Pages) -> None:
    from eavewell.web.other_pages import take_in

    take_in(app, shared)


def _refused(shared: Pages) -> Answered:
    async def answer(request: Request, refused: Exception) -> Response:
        faults = getattr(refused, "faults", ())
        return _told(shared, request, says=[one.says for one in faults], status=422)

    return answer


def _not_there(shared: Pages) -> Answered:
    async def answer(request: Request, refused: Exception) -> Response:
        status = getattr(refused, "status_code", 500)
        says = SAYS.get(status, str(getattr(refused, "detail", "")))
        told = _told(shared, request, says=[says], status=status)
        told.headers.update(getattr(refused, "headers", None) or {})
        return told

    return answer


def _not_filled(shared: Pages) -> Answered:
    async def answer(request: Request, refused: Exception) -> Response:
        faults = refused.errors() if isinstance(refused, RequestValidationError) else []
        places = sorted({str(one["loc"][-1]) for one in faults})
        says = f"This is missing or not of its kind: {', '.join(places)}."
        return _told(shared, request, says=[says], status=422)

    return answer


def _not_taken(shared: Pages) -> Answered:
    """What the disk refused; the path is nobody's business."""

    async def answer(request: Request, refused: Exception) -> Response:
        print(f"{type(refused).__name__}: {refused}", file=sys.stderr)
        why = getattr(refused, "strerror", None) or "it gave no reason"
        says = f"The folder of sites did not take or give that: {why}."
        return _told(shared, request, says=[says], status=422)

    return answer


def _told(shared: Pages, request: Request, *, says: list[str], status: int) -> Response:
    """The sentences as data for data, as a page for a page, as a note within a page.

    No path of this computer stands in them.
    """
    says = [one.replace(f"{shared.folders.path}/", "") for one in says]
    if request.url.path.endswith(".json"):
        return JSONResponse({"says": says}, status_code=status)
    name = "note.html" if request.headers.get("hx-request") else "refused.html"
    site = _site_asked(shared, request) if name == "refused.html" else None
    return HTMLResponse(shared.html(name, says=says, site=site), status_code=status)


def _site_asked(shared: Pages, request: Request) -> SiteFolder | None:
    """The site of which another page was asked; None where there is none."""
    try:
        folder = shared.folders[request.path_params.get("name", "")]
    except (KeyError, OSError):
        return None
    return None if request.url.path == f"/sites/{folder.name}" else folder
