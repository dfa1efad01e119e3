"""One site on one long page from sky to tap: describe it, and see what comes of it beside it."""

from typing import Annotated, Any

from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse

from eavewell.answers.shown import Sizes
from eavewell.faults import EavewellFault
from eavewell.files.site.fields import Field, fields
from eavewell.files.site.toml_lines import Address
from eavewell.web.changes import changed, history_of, with_change
from eavewell.web.desk import OnDesk
from eavewell.web.forms import as_written, described, entry_at, steps, top_entries
from eavewell.web.pages import Pages
from eavewell.web.reaches import REACHES, Reach
from eavewell.web.section_on_page import section_on_page


def router(pages: Pages) -> APIRouter:
    """The page of one site, its data, and every change to it."""
    routes = APIRouter()

    @routes.get("/sites/{name}.json", summary="The answer of one site")
    def data(name: str) -> dict[str, Any]:
        return _answer(pages.desk(pages.site(name)))

    @routes.get("/sites/{name}", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        shown = pages.desk(pages.site(name))
        template = "mend.html" if shown.raw is None else "site.html"
        return HTMLResponse(pages.html(template, **_page(shown)))

    @routes.post("/sites/{name}/change", include_in_schema=False)
    def change(
        name: str,
        *,
        address: Annotated[str, Form()],
        value: Annotated[str, Form()] = "",
        was: Annotated[str, Form()] = "",
    ) -> HTMLResponse:
        return _change(pages, name, way=steps(address), typed=(value, was))

    return routes


def _answer(shown: OnDesk) -> dict[str, Any]:
    from eavewell.web.desk import needed

    return dict(needed(shown).answer or {})


def _page(shown: OnDesk) -> dict[str, Any]:
    system = _system(shown)
    raw = shown.raw or {}
    return {
        "shown": shown,
        "name": shown.folder.name,
        "title": raw.get("name") or shown.folder.name,
        "history": history_of(shown.folder),
        "section": section_on_page(shown),
        "reaches": [_reach(one, shown, system=system) for one in REACHES] if raw else [],
        "top": top_entries(raw, faults=shown.faults, system=system) if raw else (),
        "loose": [one for one in shown.faults if not one.address],
    }


def _system(shown: OnDesk) -> str:
    place = (shown.raw or {}).get("place")
    said = place.get("show") if isinstance(place, dict) else None
    return said if said in ("us", "metric") else "us"


def _reach(reach: Reach, shown: OnDesk, *, system: str) -> dict[str, Any]:
    return {
        "reach": reach,
        "tables": [
            described(shown.raw or {}, table, faults=shown.faults, system=system)
            for table in reach.tables
            if table != "goal"
        ],
        **_results(reach, shown),
    }


def _results(reach: Reach, shown: OnDesk) -> dict[str, Any]:
    """What the report says of a reach, and what the checks found there."""
    if shown.answer is None:
        return {"blocks": [], "findings": []}
    sizes = Sizes(shown.answer["place"]["show"])
    return {
        "blocks": [one for section in reach.sections for one in section(dict(shown.answer), sizes)],
        "findings": [one for one in shown.answer["findings"] if one["reach"] in reach.found],
    }


def _change(pages: Pages, name: str, *, way: Address, typed: tuple[str, str]) -> HTMLResponse:
    """Set one field; what cannot be is refused in place and stays as it was typed."""
    folder = pages.site(name)
    value, was = typed
    with pages.desk.lock_of(folder):
        field = _field(way)
        before = pages.desk(folder)
        refused = with_change(before, way, value=as_written(value, field), was=was)
        if not refused:
            changed(before, way, value=as_written(value, field))
        shown = pages.desk(folder)
    entry = entry_at(shown.raw or {}, way, faults=shown.faults, system=_system(shown))
    page = pages.html("changed.html", entry=entry, refused=refused, typed=value, **_page(shown))
    return HTMLResponse(page, status_code=422 if refused else 200)


def _field(way: Address) -> Field:
    section = "site"
    for step in way[:-1]:
        section = fields()[section][step].inner if isinstance(step, str) else section
    try:
        return fields()[section][str(way[-1])]
    except (KeyError, IndexError):
        raise EavewellFault("There is no such field.") from None
