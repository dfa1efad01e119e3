"""The look ahead on a page: the fan of the years, and what a rain, a load or a cut would change."""

from dataclasses import asdict, dataclass
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, Response

from eavewell.answers.shown import Sizes
from eavewell.faults import EavewellFault
from eavewell.logbook.ahead.answer import by_weeks
from eavewell.logbook.ahead.answered import Said
from eavewell.report.ahead import (
    cuts_blocks,
    end_blocks,
    lasts_blocks,
    loads_blocks,
    reach_blocks,
    years_blocks,
)
from eavewell.report.at_once import to_do
from eavewell.web.fan_plate import fan_plate
from eavewell.web.logged import Logged, logged
from eavewell.web.looked_ahead import looked_ahead
from eavewell.web.pages import Pages

Plain = dict[str, Any]
Text = Annotated[str, Query(max_length=200)]


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed, all of it as text; several of a kind are parted by semicolons."""

    rain: Text = ""
    load: Text = ""
    use: Text = ""
    level: Text = ""
    reach: Text = ""
    chance: Text = ""

    @property
    def said(self) -> Said:
        """The same for the look ahead."""
        return Said(
            levels=_parted(self.level),
            uses=_parted(self.use),
            rains=_parted(self.rain),
            loads=_parted(self.load),
            reach=self.reach.strip(),
            chance=self.chance.strip(),
        )


def _parted(text: str) -> list[str]:
    return [one.strip() for one in text.split(";") if one.strip()]


def router(pages: Pages) -> APIRouter:
    """The look ahead, with what was typed for it in its address, and its data."""
    routes = APIRouter()

    @routes.get("/sites/{name}/ahead.json", summary="The look ahead from the log of one site")
    def data(name: str, typed: Annotated[Typed, Depends()], *, daily: bool = False) -> Plain:
        """Evenings a week apart, or every one."""
        with logged(pages, name) as log:
            answer = looked_ahead(log, typed.said)
            return answer if daily else by_weeks(answer)

    @routes.get("/sites/{name}/ahead", include_in_schema=False)
    def page(name: str, request: Request, *, typed: Annotated[Typed, Depends()]) -> Response:
        moved = bool(request.headers.get("hx-request"))
        with logged(pages, name) as log:
            told = _told(log, typed, later=moved)
        if moved:
            return _piece(pages, told, typed=typed)
        status = 422 if told["refused"] and typed != Typed() else 200
        return HTMLResponse(pages.html("ahead.html", **told), status_code=status)

    @routes.get("/sites/{name}/ahead/cuts", include_in_schema=False)
    def cuts(name: str, typed: Annotated[Typed, Depends()]) -> HTMLResponse:
        """What cuts gain through the years, for what was typed: it comes after the rest."""
        with logged(pages, name) as log:
            answer = looked_ahead(log, typed.said)
        blocks = list(cuts_blocks(answer, Sizes(answer["show"])))
        return HTMLResponse(pages.html("pieces/cuts.html", cuts=blocks))

    return routes


def _piece(pages: Pages, told: Plain, *, typed: Typed) -> Response:
    """What changed on the page; what was typed wrong leaves the rest of it as it is."""
    if told["refused"]:
        return HTMLResponse(
            pages.html("note.html", says=told["refused"]),
            status_code=422,
            headers={"hx-retarget": "#wrong", "hx-reswap": "innerHTML"},
        )
    asked = told["asked"]
    return HTMLResponse(
        pages.html("pieces/ahead.html", **told),
        headers={"hx-replace-url": f"?{asked}" if asked else "ahead"},
    )


def _told(log: Logged, typed: Typed, *, later: bool) -> Plain:
    """Everything on the page; later : what cuts gain is asked for when the rest is there."""
    shown = log.shown
    page: Plain = {
        "shown": shown,
        "name": shown.folder.name,
        "title": shown.title,
        "typed": typed,
        "asked": urlencode({key: said for key, said in asdict(typed).items() if said}),
        "trucks": [one.to for one in log.site.hauling],
        "uses": [one.name for one in log.site.uses],
        "metric": log.site.place.show == "metric",
        "refused": [],
        "fan": "",
        "answer": None,
    }
    try:
        answer = looked_ahead(log, typed.said, cut_years=not later)
    except EavewellFault as wrong:
        says = [f"{one.where}: {one.says}" if one.where else one.says for one in wrong.faults]
        return page | {"refused": says}
    return page | _answered(answer, later=later)


def _answered(answer: Plain, *, later: bool) -> Plain:
    sizes = Sizes(answer["show"])
    lasts = (lasts_blocks(one, answer, sizes=sizes) for one in answer["supplies"])
    return {
        "answer": answer,
        "fan": fan_plate(answer),
        "to_do": to_do(answer, system=answer["show"]),
        "lasts": [*(block for one in lasts for block in one), *reach_blocks(answer, sizes)],
        "years": list(years_blocks(answer, sizes)),
        "cuts": None if later else list(cuts_blocks(answer, sizes)),
        "loads": list(loads_blocks(answer, sizes)),
        "end": end_blocks(answer),
    }
