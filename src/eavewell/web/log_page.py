"""The log of a site: one field and one button for each gauge, every other entry, what was last."""

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse

from eavewell.faults import EavewellFault
from eavewell.logbook.entries.entered import Entered, enter, mend, reading_at
from eavewell.logbook.entries.follows import follows_now, refuse
from eavewell.logbook.entries.log_answer import (
    boxes_answer,
    by_hand_first,
    gauge_answer,
    log_answer,
)
from eavewell.logbook.entries.renamed import gone, rename
from eavewell.logbook.entries.said import entry_said, gauge_said, says_of
from eavewell.logbook.kept import Kind
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.store.documents import KINDS
from eavewell.web.desk import OnDesk
from eavewell.web.log_entries import entries_parts
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages
from eavewell.web.words_sent import Words

Plain = dict[str, Any]
Text = Annotated[str, Form(max_length=400)]
OTHERS: tuple[Kind, ...] = ("load", "done", "tested", "outage", "note")


def router(pages: Pages) -> APIRouter:
    """The log as a page and as data, and what is written into it."""
    routes = APIRouter()

    @routes.get("/sites/{name}/log.json", summary="The log of one site: last readings and entries")
    def data(name: str, of: str = "") -> Plain:
        with logged(pages, name, designed=False) as log:
            told = log_answer(log.site, log.store, now=log.now, of=of)
            return told | {"kinds": boxes_answer(log.site, tasks=tasks_of(log.shown))}

    @routes.get("/sites/{name}/log", include_in_schema=False)
    def page(name: str, of: str = "") -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            return HTMLResponse(pages.html("log.html", **_parts(log, of=of)))

    @routes.get("/sites/{name}/log/gauge", include_in_schema=False)
    def gauge(name: str, gauge: str) -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            told = _gauge_parts(log, gauge)
            return HTMLResponse(pages.html("pieces/log_gauge.html", **told))

    _add_changes(routes, pages)
    _add_rename(routes, pages)
    return routes


def _add_changes(routes: APIRouter, pages: Pages) -> None:
    @routes.post("/sites/{name}/log/reading", include_in_schema=False)
    def reading(name: str, words: Words) -> HTMLResponse:
        with logged(pages, name, make=True, designed=False) as log:
            told = _read(log, words)
            return _answered(pages, log, piece="pieces/log_gauge.html", told=told)

    @routes.post("/sites/{name}/log/mend/{key}", include_in_schema=False)
    def mended(name: str, key: int, *, said: Text, who: Text = "") -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            told = _mended(log, key, said=said, who=who)
            return _answered(pages, log, piece="pieces/log_gauge.html", told=told)

    @routes.post("/sites/{name}/log/entry", include_in_schema=False)
    def entry(name: str, words: Words) -> HTMLResponse:
        with logged(pages, name, make=True, designed=False) as log:
            told = _entered(log, words)
            return _answered(pages, log, piece="pieces/log_kind.html", told=told)


def _add_rename(routes: APIRouter, pages: Pages) -> None:
    @routes.post("/sites/{name}/log/rename", include_in_schema=False)
    def renamed(name: str, *, was: Text, now: Text) -> HTMLResponse:
        with logged(pages, name, designed=False) as log:
            refused = _renamed(log, was, to=now)
            told = pages.html("pieces/log_gone.html", **_gone_parts(log, was=was, refused=refused))
            if refused:
                return HTMLResponse(told, status_code=422)
            return HTMLResponse(told, headers={"HX-Refresh": "true"})  # last readings, entries: all


def _answered(pages: Pages, log: Logged, *, piece: str, told: Plain) -> HTMLResponse:
    """The piece that was filled in; where something was written, the last entries as well."""
    says = told.get("refused", "")
    entries = {} if says else {"entries": entries_parts(log), "written": True}
    html = pages.html(piece, **told)
    if entries:
        html += pages.html("pieces/log_entries.html", name=log.shown.folder.name, **entries)
    return HTMLResponse(html, status_code=422 if says else 200)


def _parts(log: Logged, *, of: str) -> Plain:
    """What stands on the page."""
    names = [one["gauge"] for one in entries_parts(log)["gauges"]]
    return {
        "name": log.shown.folder.name,
        "title": log.shown.title,
        "zone": log.site.log.zone,
        "gauges": [_gauge_parts(log, one) for one in names],
        "kinds": [_kind_parts(log, one) for one in OTHERS],
        "entries": entries_parts(log, of=of),
        "written": False,
        **_gone_parts(log),
    }


def _gone_parts(log: Logged, *, was: str = "", refused: str = "") -> Plain:
    """Names that stand in the log and not in the site file, each with those it may have there."""
    gauges = [one.name for one in gauges_of(log.site)]
    names = [*gauges, *(tank.name for tank in log.site.tanks)]
    found = [
        {
            "name": one.name,
            "says": one.says,
            "likely": one.likely[:1],
            "may_be": list(dict.fromkeys((*one.likely, *names))),
        }
        for one in gone(log.site, log.store)
    ]
    return {"name": log.shown.folder.name, "gone": found, "was": was, "refused": refused}


def _renamed(log: Logged, was: str, *, to: str) -> str:
    """Put what stands under a name under another; says why it cannot be."""
    try:
        rename(log.site, log.store, was=was, name=to, now=log.now)
    except EavewellFault as refused:
        return says_of(refused)
    return ""


def tasks_of(shown: OnDesk) -> list[str]:
    """Tasks as the due list calls them, as far as the site was worked out."""
    tasks = (shown.answer or {}).get("tasks", ())
    return sorted({str(one["task"]) for one in tasks})


def _gauge_parts(
    log: Logged, gauge: str, *, typed: Mapping[str, str] | None = None, **told: Any
) -> Plain:
    """A gauge's field. told : `refused`, `doubts` with `key`, or `done`, of what was just said."""
    one = gauge_answer(log.site, log.store, gauge=gauge_said(log.site, gauge), now=log.now)
    plain: Plain = {"refused": "", "doubts": (), "key": 0, "done": "", "typed": typed or {}}
    row = [each.name for each in by_hand_first(log.site)].index(gauge)
    return plain | told | {"name": log.shown.folder.name, "gauge": one, "row": row}


def _read(log: Logged, words: Mapping[str, str]) -> Plain:
    """Write a reading; what is doubted in it is asked beside the field."""
    try:
        entered = enter(log.site, log.store, words=words, now=log.now)
    except EavewellFault as refused:
        return _gauge_parts(log, words.get("gauge", ""), typed=words, refused=says_of(refused))
    return _entered_parts(log, entered, who=words.get("who", ""))


def _entered_parts(log: Logged, entered: Entered, *, who: str) -> Plain:
    typed = {"said": entered.reading.said, "who": who} if entered.doubts else {"who": who}
    told = {"done": entered.says, "doubts": entered.doubts, "key": entered.key}
    return _gauge_parts(log, entered.reading.gauge, typed=typed, **told)


def _mended(log: Logged, key: int, *, said: str, who: str) -> Plain:
    """Put a questioned reading right; what it said before is kept."""
    was = reading_at(log.store, key)
    try:
        entered = mend(log.site, log.store, key=key, text=said, who=who, now=log.now)
    except EavewellFault as refused:
        typed, told = {"said": said, "who": who}, {"doubts": (was.note,), "key": key}
        return _gauge_parts(log, was.gauge, typed=typed, refused=says_of(refused), **told)
    return _entered_parts(log, entered, who=who)


def _kind_parts(log: Logged, kind: Kind, **told: Any) -> Plain:
    plain: Plain = {"typed": {}, "refused": "", "done": "", "name": log.shown.folder.name}
    boxes = boxes_answer(log.site, (kind,), tasks=tasks_of(log.shown))[0]
    return plain | told | {"kind": boxes}


def _entered(log: Logged, words: Mapping[str, str]) -> Plain:
    """Write an entry that is no reading."""
    kind: Kind = next((one for one in KINDS if one == words.get("kind")), "note")
    try:
        entry = entry_said(log.site, kind, words=words, now=log.now)
        refuse(entry, log.site, now=log.now)
        added = log.store.add([entry], now=log.now)
        asked = follows_now(log.site, entry, kept=log.store, now=log.now)
    except EavewellFault as refused:
        return _kind_parts(log, kind, typed=words, refused=says_of(refused))
    done = "Written." if added.new else "It was in the log already."
    return _kind_parts(log, kind, done=" ".join((done, *asked)))
