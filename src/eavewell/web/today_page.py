"""The first screen of a site with a log: until when the water lasts, and the field to read it."""

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Form, Path
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from eavewell.faults import BadLog, BadSite, EavewellFault
from eavewell.logbook.ahead.basis import basis_of
from eavewell.logbook.entries.asked import with_unit
from eavewell.logbook.entries.taken_down import Said as By
from eavewell.logbook.entries.taken_down import take_down
from eavewell.logbook.entries.typed import figure_of, gauge_meant, reading_of, stick_of
from eavewell.logbook.entries.when import instant_said
from eavewell.logbook.readings.midnights import zone_of
from eavewell.logbook.today_answer import today_of
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages
from eavewell.web.today_parts import Plain, Typed, found_parts, today_parts

Text = Annotated[str, Form(max_length=200)]
Key = Annotated[int, Path(ge=1, lt=2**63)]


def router(pages: Pages) -> APIRouter:
    """Today of a site, its data, and the one reading that is taken here."""
    routes = APIRouter()

    @routes.get("/sites/{name}/today.json", summary="Today by the log of one site")
    def data(name: str) -> Plain:
        with logged(pages, name) as log:
            made = log.design
            return today_of(basis_of(made), made.drawn.every_day, kept=log.store, now=log.now)

    @routes.get("/sites/{name}/today/found", include_in_schema=False)
    def found(name: str) -> HTMLResponse:
        with logged(pages, name) as log:
            return HTMLResponse(pages.html("pieces/today_found.html", **found_parts(log)))

    @routes.get("/sites/{name}/today", include_in_schema=False)
    def page(name: str) -> Response:
        try:
            with logged(pages, name) as log:
                return HTMLResponse(pages.html("today.html", **today_parts(log)))
        except BadSite:  # what is to be mended first stands with the design
            return RedirectResponse(pages.site(name).address, status_code=303)

    @routes.post("/sites/{name}/today", include_in_schema=False)
    def take(name: str, *, value: Text, who: Text = "", when: Text = "") -> HTMLResponse:
        with logged(pages, name) as log:
            try:
                sent = _meant(log, value, when=when)
            except EavewellFault as refused:
                return answered(log, Typed(value, who, refused=_says(refused)))
        with logged(pages, name, make=True) as log:
            return answered(log, _taken(log, sent, typed=Typed(value, who)))

    @routes.post("/sites/{name}/today/{key}", include_in_schema=False)
    def mend(name: str, key: Key, *, value: Text, who: Text = "") -> HTMLResponse:
        with logged(pages, name) as log:
            return answered(log, _mended(log, key, typed=Typed(value, who)))

    def answered(log: Logged, typed: Typed) -> HTMLResponse:
        page = pages.html("pieces/today.html", **today_parts(log, typed))
        return HTMLResponse(page, status_code=422 if typed.refused else 200)

    return routes


@dataclass(frozen=True, slots=True)
class _Sent:
    """A figure that can be one: of which gauge, and when it was read."""

    gauge: Gauge
    at: datetime


def _meant(log: Logged, value: str, *, when: str) -> _Sent:
    """The gauge and the instant; what is no figure begins no log."""
    gauge, zone = stick_of(log.site), zone_of(log.site.log.zone) if log.site.log.zone else None
    if gauge is None:
        raise BadLog("This site has no tank to be read.")
    figure_of(gauge, _with_unit(log, value, gauge=gauge))
    return _Sent(gauge, instant_said(when, now=log.now, zone=zone, hour=log.site.log.readings_at))


def _taken(log: Logged, sent: _Sent, *, typed: Typed) -> Typed:
    """A reading of the stick, written at once."""
    said = By(log.now, who=typed.who.strip())
    text = _with_unit(log, typed.value, gauge=sent.gauge)
    try:
        taken = take_down(log.site, log.store, gauge=sent.gauge, text=text, at=sent.at, said=said)
    except EavewellFault as refused:
        return replace(typed, refused=_says(refused))
    return Typed("", typed.who, taken=taken)


def _with_unit(log: Logged, value: str, *, gauge: Gauge) -> str:
    """A figure as it was typed, a bare one in the unit that stands beside the field."""
    return with_unit(gauge, value, show=log.site.place.show)


def _says(refused: EavewellFault) -> tuple[str, ...]:
    return tuple(one.says for one in refused.faults)


def _mended(log: Logged, key: int, *, typed: Typed) -> Typed:
    """The questioned reading put right; what it said before is kept."""
    try:
        was = log.store.entry("reading", key)
        assert isinstance(was, Reading)
        gauge = gauge_meant(log.site, "level", name=was.gauge)
        text = _with_unit(log, typed.value, gauge=gauge)
        right = reading_of(gauge, text, at=was.at, who=typed.who.strip())
        log.store.correct(key, right, why="Questioned when it was read.", who=right.who)
    except EavewellFault as refused:
        return replace(typed, refused=_says(refused))
    return Typed("", typed.who)
