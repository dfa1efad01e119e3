"""The log against the site file on a page: what it found, and figures offered to be taken over."""

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Form, HTTPException
from fastapi.responses import HTMLResponse

from eavewell.answers.shown import Sizes
from eavewell.faults import EavewellFault
from eavewell.logbook.checked import reconciled_of
from eavewell.report.reconciled import BY_YOU, NOTHING, group_blocks
from eavewell.web.changes import changed_together
from eavewell.web.fixes import changes_of
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages

Plain = dict[str, Any]
Told = Annotated[str, Form(max_length=400)]


def router(pages: Pages) -> APIRouter:
    """What the log says of the site file, its data, and taking a figure over."""
    routes = APIRouter()

    @routes.get("/sites/{name}/reconciled.json", summary="The log of one site against its file")
    def data(name: str) -> Plain:
        with logged(pages, name) as log:
            return _reconciled(log)

    @routes.get("/sites/{name}/reconciled", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        with logged(pages, name) as log:
            return HTMLResponse(pages.html("reconciled.html", **_parts(log)))

    @routes.post("/sites/{name}/reconciled", include_in_schema=False)
    def take_over(name: str, code: Told, *, where: Told) -> HTMLResponse:
        with pages.desk.lock_of(pages.site(name)):
            with logged(pages, name) as log:
                found = _offer(_reconciled(log), code, where=where)
                changed_together(log.shown, changes_of(log.shown, found))
            with logged(pages, name) as log:
                told = _parts(log, done=f"Changed {where}: {found['fix']}.")
        return HTMLResponse(pages.html("pieces/reconciled.html", **told))

    return routes


def _reconciled(log: Logged) -> Plain:
    return reconciled_of(log.design, log.store, now=log.now)


def _offer(answer: Plain, code: str, *, where: str) -> Mapping[str, Any]:
    """The offer as the log makes it now; 409 where it does no more."""
    offers = (one for group in answer["groups"] for one in group["offers"])
    for one in offers:
        if (one["code"], one["where"]) == (code, where) and one["changes"]:
            told: Mapping[str, Any] = one
            return told
    raise HTTPException(409, "The log does not offer this any more: load the page again.")


def _parts(log: Logged, *, done: str = "") -> Plain:
    """What stands on the page, or why nothing can."""
    told: Plain = {
        "name": log.shown.folder.name,
        "title": log.shown.title,
        "done": done,
        "groups": [],
        "nothing": NOTHING,
        "by_you": BY_YOU,
        "refused": [],
    }
    try:
        answer = _reconciled(log)
    except EavewellFault as refused:
        return told | {"refused": [one.says for one in refused.faults]}
    sizes = Sizes(answer["show"])
    groups = [
        {"blocks": group_blocks(answer, one, sizes=sizes), "offers": one["offers"]}
        for one in answer["groups"]
    ]
    return told | {"groups": groups}
