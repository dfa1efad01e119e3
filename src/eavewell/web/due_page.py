"""The due list on a page: what is over its day, what comes, done or put off at a press."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Form, Response
from fastapi.responses import HTMLResponse

from eavewell.faults import BadLog, EavewellFault
from eavewell.logbook.entries.shown import Words
from eavewell.logbook.entries.when import instant_said
from eavewell.logbook.readings.midnights import zone_of
from eavewell.logbook.upkeep.service_answers import due_calendar
from eavewell.report.due import due_groups, due_in_short
from eavewell.site.entry import Done
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages
from eavewell.web.today_parts import due_by_log

Plain = dict[str, Any]
Text = Annotated[str, Form(max_length=200)]
PUT_OFF = timedelta(days=7)
RETARGETED = {"hx-retarget": "#wrong", "hx-reswap": "innerHTML"}


@dataclass(frozen=True, slots=True)
class Pressed:
    """What is sent with a press.

    things : what it was done to, one a line. until : the day to which it is put off; "" for done.
    on     : when it was done; "" now.
    """

    task: Text
    things: Annotated[str, Form(max_length=4000)] = ""
    until: Text = ""
    on: Text = ""
    who: Text = ""
    found: Text = ""


def router(pages: Pages) -> APIRouter:
    """The due list, its calendar file, its data, and what is done about it."""
    routes = APIRouter()

    @routes.get("/sites/{name}/due.json", summary="What is due on one site")
    def data(name: str) -> Plain:
        with logged(pages, name) as log:
            return due_by_log(log)

    @routes.get("/sites/{name}/due.ics", include_in_schema=False)
    def calendar(name: str) -> Response:
        with logged(pages, name) as log:
            return Response(
                due_calendar(due_by_log(log)), media_type="text/calendar; charset=utf-8"
            )

    @routes.get("/sites/{name}/due", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        with logged(pages, name) as log:
            return HTMLResponse(pages.html("due.html", **_parts(log)))

    @routes.post("/sites/{name}/due", include_in_schema=False)
    def do(name: str, pressed: Annotated[Pressed, Depends()]) -> HTMLResponse:
        with logged(pages, name) as log:
            try:
                entries = _meant(log, pressed)
            except EavewellFault as wrong:
                says = [one.says for one in wrong.faults]
                return HTMLResponse(pages.html("note.html", says=says), 422, RETARGETED)
        with logged(pages, name, make=True) as log:
            log.store.add(entries, now=log.now)
            what, said = Words(log.site).of(entries[0])
            told = _parts(log, done=f"{what}: {said}.")
            return HTMLResponse(pages.html("pieces/due.html", **told))

    return routes


def _meant(log: Logged, pressed: Pressed) -> list[Done]:
    """That a task was done to each of its things, or is put off; what cannot be is refused."""
    tasks = {one["task"] for one in due_by_log(log)["due"]}
    if pressed.task not in tasks:
        raise BadLog(f"No such task is due: {pressed.task!r}.")
    zone = zone_of(log.site.log.zone) if log.site.log.zone else None
    until = instant_said(pressed.until, now=log.now, zone=zone, hour=0.0) if pressed.until else None
    if until is not None and until <= log.now:
        raise BadLog("The day to which a task is put off lies after today.")
    at = instant_said(pressed.on, now=log.now, zone=zone, hour=log.site.log.readings_at)
    if at > log.now:
        raise BadLog("A task that was done was not done after today.")
    things = [one.strip() for one in pressed.things.split("\n") if one.strip()] or [""]
    return [
        Done(pressed.task, at, one, until, found=pressed.found.strip(), who=pressed.who.strip())
        for one in things
    ]


def _parts(log: Logged, *, done: str = "") -> Plain:
    """What stands on the page."""
    answer = due_by_log(log)
    return {
        "shown": log.shown,
        "name": log.shown.folder.name,
        "title": log.shown.title,
        "day": answer["day"],
        "short": due_in_short(answer),
        "groups": due_groups(answer),
        "later": (log.now + PUT_OFF).date().isoformat(),
        "done": done,
    }
