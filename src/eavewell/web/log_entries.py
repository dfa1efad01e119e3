"""The last entries of a log as a ruled table, each to be put right or struck out."""

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse

from eavewell.faults import EavewellFault
from eavewell.logbook.log_answer import boxes_answer, log_answer
from eavewell.logbook.said import put_right_said, says_of, words_of
from eavewell.logbook.shown import number_meant
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages

Plain = dict[str, Any]
Text = Annotated[str, Form(max_length=400)]


def router(pages: Pages) -> APIRouter:
    """The table, and corrections."""
    routes = APIRouter(include_in_schema=False)

    @routes.get("/sites/{name}/log/entries")
    def entries(name: str, of: str = "", *, number: str = "") -> HTMLResponse:
        """The table; number : of the entry that is being put right."""
        with logged(pages, name, designed=False) as log:
            return _table(pages, log, of=of, editing=_editing(log, number) if number else None)

    @routes.post("/sites/{name}/log/correct/{number}")
    async def correct(name: str, number: str, *, request: Request) -> HTMLResponse:
        form = await request.form(max_files=0)
        words = {key: said for key, said in form.items() if isinstance(said, str)}
        with logged(pages, name, designed=False) as log:
            says = _put_right(log, number, words=words)
            editing = _editing(log, number, words=words, says=says) if says else None
            return _table(pages, log, of=words.get("of-list", ""), editing=editing)

    @routes.post("/sites/{name}/log/strike/{number}")
    def strike(
        name: str,
        number: str,
        *,
        why: Text = "",
        by: Text = "",
        of: Annotated[str, Form(alias="of-list")] = "",
    ) -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            kind, key = number_meant(number)
            says = ""
            try:
                log.store.strike(kind, key, why=why, who=by, now=log.now)
            except EavewellFault as refused:
                says = says_of(refused)
            told = {"why": why, "by": by}
            editing = _editing(log, number, words=told, says=says) if says else None
            return _table(pages, log, of=of, editing=editing)

    return routes


def entries_parts(log: Logged, *, of: str = "") -> Plain:
    """The last entries of a gauge or kind, or of all."""
    return log_answer(log.site, log.store, now=log.now, of=of)


def _table(pages: Pages, log: Logged, *, of: str, editing: Plain | None) -> HTMLResponse:
    told = {"name": log.shown.folder.name, "entries": entries_parts(log, of=of)}
    html = pages.html("pieces/log_entries.html", **told, written=False, editing=editing)
    return HTMLResponse(html, status_code=422 if editing and editing["says"] else 200)


def _put_right(log: Logged, number: str, *, words: Mapping[str, str]) -> str:
    """Put an entry right; says why it cannot be."""
    kind, key = number_meant(number)
    try:
        was = log.store.entry(kind, key)
        right = put_right_said(log.site, was, words, now=log.now)
        log.store.correct(
            key, right, why=words.get("why", ""), who=words.get("by", ""), now=log.now
        )
    except EavewellFault as refused:
        return says_of(refused)
    return ""


def _editing(
    log: Logged, number: str, *, words: Mapping[str, str] | None = None, says: str = ""
) -> Plain:
    """The boxes of an entry with what stands in them, or with what was typed."""
    kind, key = number_meant(number)
    stands = words_of(log.site, log.store.entry(kind, key), now=log.now)
    return {
        "number": number,
        "kind": boxes_answer(log.site, (kind,))[0],
        "typed": stands | dict(words or {}),
        "says": says,
    }
