"""What comes from elsewhere, looked at and then taken: a file, or the text of a telephone."""

from hashlib import sha256
from typing import Annotated, Any

from fastapi import APIRouter, Form, UploadFile
from fastapi.responses import HTMLResponse

from eavewell.faults import BadLog
from eavewell.logbook.entries.bring import AsRead, bring, brought_page
from eavewell.logbook.entries.log_answer import by_hand_first
from eavewell.logbook.entries.looked_at import looked_at, write_looked
from eavewell.logbook.entries.looked_words import lines_answer, taken_answer
from eavewell.logbook.entries.phone_text import MOST_CHARACTERS, read_phone_text
from eavewell.logbook.entries.understood import understood
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages

Plain = dict[str, Any]
Text = Annotated[str, Form(max_length=400)]
Long = Annotated[str, Form(max_length=MOST_CHARACTERS)]


def router(pages: Pages) -> APIRouter:
    """The page, and both ways."""
    routes = APIRouter(include_in_schema=False)

    @routes.get("/sites/{name}/log/bring")
    def page(name: str) -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            told = {"name": name, "title": log.shown.title}
            gauges = [one.name for one in by_hand_first(log.site)]
            return HTMLResponse(pages.html("log_bring.html", **told, gauges=gauges))

    _add_file(routes, pages)
    _add_telephone(routes, pages)
    return routes


def _add_file(routes: APIRouter, pages: Pages) -> None:
    @routes.post("/sites/{name}/log/bring/look")
    def look(name: str, file: UploadFile, *, gauges: Text = "", unit: Text = "") -> HTMLResponse:
        """What was understood of a file; nothing is written."""
        data, called = file.file.read(), file.filename or "the file"
        how = _as_read(gauges, unit)
        with logged(pages, name, designed=False) as log:
            found = understood(log.site, log.store, name=called, data=data, how=how)
        told = {"blocks": found.page, "count": found.count, "name": name, "file": called}
        html = pages.html("pieces/log_understood.html", **told, digest=sha256(data).hexdigest())
        return HTMLResponse(html, status_code=200 if found.count else 422)

    @routes.post("/sites/{name}/log/bring/take")
    def take(
        name: str,
        file: UploadFile,
        *,
        digest: Text,
        gauges: Text = "",
        unit: Text = "",
        who: Text = "",
    ) -> HTMLResponse:
        """Take the file that was looked at, whole."""
        data, called = file.file.read(), file.filename or "the file"
        if sha256(data).hexdigest() != digest:
            raise BadLog("That is another file than the one that was looked at: look at it first.")
        how = _as_read(gauges, unit, who=who)
        with logged(pages, name, make=True, designed=False) as log:
            brought, added = bring(
                log.site, log.store, name=called, data=data, how=how, now=log.now
            )
            blocks = brought_page(log.site, brought, added=added)
        told = {"name": name, "blocks": blocks, "known": added.known}
        return HTMLResponse(pages.html("pieces/log_brought.html", **told))


def _as_read(gauges: str, unit: str, *, who: str = "") -> AsRead:
    """As a form says it: one gauge, or "theirs = ours" parted by commas."""
    named = [one.strip() for one in gauges.split(",") if one.strip()]
    return AsRead(named, unit.strip(), who.strip())


def _add_telephone(routes: APIRouter, pages: Pages) -> None:
    @routes.post("/sites/{name}/log/telephone/text")
    def pasted(name: str, text: Long = "") -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            return HTMLResponse(_beside(pages, log, text=text))

    @routes.post("/sites/{name}/log/telephone/file")
    def by_file(name: str, file: UploadFile) -> HTMLResponse:
        text = file.file.read(4 * MOST_CHARACTERS).decode("utf-8", errors="replace")
        with logged(pages, name, designed=False) as log:
            return HTMLResponse(_beside(pages, log, text=text))

    @routes.post("/sites/{name}/log/telephone/take")
    def take(
        name: str, *, text: Long, taken: Annotated[list[str] | None, Form()] = None
    ) -> HTMLResponse:
        """Write what is ticked; what is there already does no harm."""
        with logged(pages, name, make=True, designed=False) as log:
            looked = looked_at(log.site, log.store, lines=read_phone_text(text).lines, now=log.now)
            wanted = [one for one in looked if one.line.name in set(taken or ())]
            added = write_looked(log.store, wanted, now=log.now)
            told = taken_answer(log.site, looked, added=added)
        return HTMLResponse(pages.html("pieces/log_taken.html", name=name, **told))


def _beside(pages: Pages, log: Logged, *, text: str) -> str:
    """Every entry of a telephone, beside what the log holds."""
    came = read_phone_text(text)
    looked = looked_at(log.site, log.store, lines=came.lines, now=log.now)
    told = {"name": log.shown.folder.name, "came": came, "text": text}
    told["other"] = came.site if came.site != log.shown.folder.name else ""
    lines = lines_answer(log.site, looked, now=log.now)
    return pages.html("pieces/log_beside.html", **told, lines=lines)
