"""The last entries of a log as a ruled table, each to be put right or struck out."""

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from eavewell.faults import EavewellFault
from eavewell.logbook.entries.log_answer import boxes_answer, log_answer
from eavewell.logbook.entries.said import back_now, put_right_said, says_of, words_of
from eavewell.logbook.entries.shown import number_meant
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages
from eavewell.web.words_sent import Words

Plain = dict[str, Any]


def router(pages: Pages) -> APIRouter:
    """The table, and corrections."""
    routes = APIRouter(include_in_schema=False)

    @routes.get("/sites/{name}/log/entries")
    def entries(name: str, of: str = "", *, number: str = "") -> HTMLResponse:
        """The table; number : of the entry that is being put right."""
        with logged(pages, name, designed=False) as log:
            return _table(pages, log, of=of, editing=_editing(log, number) if number else None)

    @routes.post("/sites/{name}/log/correct/{number}")
    def correct(name: str, number: str, *, words: Words) -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            says = _put_right(log, number, words=words)
            editing = _editing(log, number, words=words, says=says) if says else None
            return _table(pages, log, of=words.get("of-list", ""), editing=editing)

    @routes.post("/sites/{name}/log/strike/{number}")
    def strike(name: str, number: str, *, words: Words) -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            says = _struck(log, number, words=words)
            editing = _editing(log, number, words=words, says=says) if says else None
            return _table(pages, log, of=words.get("of-list", ""), editing=editing)

    @routes.post("/sites/{name}/log/back/{number}")
    def back(name: str, number: str) -> HTMLResponse:
        """What was out is back now."""
        with logged(pages, name, designed=False) as log:
            back_now(log.store, number_meant(number)[1], now=log.now)
            return _table(pages, log, of="", editing=None)

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
        right = put_right_said(log.site, was, words=words, now=log.now)
        log.store.correct(
            key, right, why=words.get("why", ""), who=words.get("by", ""), now=log.now
        )
    except EavewellFault as refused:
        return says_of(refused)
    return ""


def _struck(log: Logged, number: str, *, words: Mapping[str, str]) -> str:
    """Take an entry out; says why it cannot be."""
    kind, key = number_meant(number)
    log.store.entry(kind, key)
    try:
        log.store.strike(kind, key, why=words.get("why", ""), who=words.get("by", ""), now=log.now)
    except EavewellFault as refused:
        return says_of(refused)
    return ""


def _editing(
    log: Logged, number: str, *, words: Mapping[str, str] | None = None, says: str = ""
) -> Plain:
    """The boxes of an entry with what stands in them, or with what was typed."""
    kind, key = number_meant(number)
    stands = words_of(log.site, log.store.entry(kind, key))
    return {
        "number": number,
        "kind": boxes_answer(log.site, (kind,))[0],
        "typed": stands | dict(words or {}),
        "says": says,
    }
