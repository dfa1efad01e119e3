"""A month of readings typed from paper at one sitting, line by line as the printed log sheet."""

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from eavewell.logbook.entries.looked_at import looked_at, write_looked
from eavewell.logbook.entries.looked_words import lines_answer, taken_answer
from eavewell.logbook.entries.month_sheet import lines_said, month_answer, month_said, sheets_of
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages
from eavewell.web.words_sent import Words

Plain = dict[str, Any]


def router(pages: Pages) -> APIRouter:
    """The sheet of a month as a page and as data, and what is typed into it."""
    routes = APIRouter()

    @routes.get(
        "/sites/{name}/log/month.json", summary="A month of readings, as the log sheet has it"
    )
    def data(name: str, sheet: str = "", *, month: str = "") -> Plain:
        with logged(pages, name, designed=False) as log:
            return _sheet(log, sheet=sheet, month=month)

    @routes.get("/sites/{name}/log/month", include_in_schema=False)
    def page(name: str, sheet: str = "", *, month: str = "") -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            told = _parts(log, _sheet(log, sheet=sheet, month=month))
            return HTMLResponse(pages.html("log_month.html", **told))

    @routes.post("/sites/{name}/log/month", include_in_schema=False)
    def typed(name: str, words: Words) -> HTMLResponse:
        with logged(pages, name, make=True, designed=False) as log:
            told = _taken(log, words)
            html = pages.html("pieces/log_sheet.html", **told)
            return HTMLResponse(html, status_code=422 if told["stopped"] else 200)

    return routes


def _sheet(log: Logged, *, sheet: str, month: str) -> Plain:
    wanted = month_said(month, now=log.now)
    sheet = sheet or next(iter(sheets_of(log.site)), "level")
    return month_answer(log.site, log.store, sheet=sheet, month=wanted)


def _parts(log: Logged, sheet: Plain, **told: Any) -> Plain:
    plain: Plain = {"typed": {}, "lines": [], "taken": None, "stopped": False}
    names = {"name": log.shown.folder.name, "title": log.shown.title}
    return plain | told | names | {"sheet": sheet}


def _taken(log: Logged, words: Mapping[str, str]) -> Plain:
    """Write the lines that were filled in; what is no figure, and what is doubted, first."""
    sheet, month = words.get("sheet", ""), month_said(words.get("month", ""), now=log.now)
    lines = lines_said(log.site, words, sheet=sheet, month=month)
    looked = looked_at(log.site, log.store, lines=lines, now=log.now)
    odd = [one for one in looked if one.state in ("refused", "differs")]
    asked = [one for one in looked if one.doubts and not words.get("kept")]
    if odd or asked or not looked:
        standing = month_answer(log.site, log.store, sheet=sheet, month=month)
        told = lines_answer(log.site, [*odd, *asked], now=log.now)
        stopped = bool(odd) or not looked
        return _parts(log, standing, typed=words, lines=told, stopped=stopped)
    added = write_looked(log.store, looked, now=log.now)
    standing = month_answer(log.site, log.store, sheet=sheet, month=month)
    kept = {key: words.get(key, "") for key in ("hour", "who")}
    return _parts(log, standing, typed=kept, taken=taken_answer(log.site, looked, added=added))
