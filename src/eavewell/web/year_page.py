"""The years of a log, each as a paper for the owner and one for an authority, and as data."""

from typing import Annotated, Any

from fastapi import APIRouter, HTTPException, Path
from fastapi.responses import HTMLResponse, Response

from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.upkeep.care import care_of
from eavewell.logbook.upkeep.serviced import serviced
from eavewell.logbook.year.year_paper import Whom, year_answer, year_of, years_of
from eavewell.papers.typeset import pdf
from eavewell.papers.year_paper import in_short, year_paper
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages
from eavewell.web.things import to_keep

Plain = dict[str, Any]
Year = Annotated[int, Path(ge=1900, le=2999)]
WHOM: dict[str, Whom] = {"owner": "owner", "authority": "authority"}


def router(pages: Pages) -> APIRouter:
    """The years of a site, their papers and their data."""
    routes = APIRouter()

    @routes.get("/sites/{name}/year/{year}.json", summary="A year of the log of one site")
    def data(name: str, year: Year) -> Plain:
        with logged(pages, name) as log:
            return _year(log, year)

    @routes.get("/sites/{name}/year", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        with logged(pages, name) as log:
            read = serviced(care_of(log.design), log.store, now=log.now)
            years = years_of(read)
            shown = _short(log, years[0]) if years else ()
            told = {"name": log.shown.folder.name, "title": log.shown.title}
            return HTMLResponse(pages.html("year.html", years=years, short=shown, **told))

    @routes.get("/sites/{name}/year/{year}-{whom}.pdf", include_in_schema=False)
    def paper(name: str, year: Year, *, whom: str) -> Response:
        if whom not in WHOM:
            raise HTTPException(404)
        with logged(pages, name) as log:
            answer = _year(log, year, whom=WHOM[whom])
        file = f"{name} {year} {whom}.pdf"
        made = pdf(year_paper(answer, system=answer["show"]))
        return to_keep(made, file, kind="application/pdf")

    return routes


def _year(log: Logged, year: int, *, whom: Whom = "owner") -> Plain:
    made = log.design
    read = serviced(care_of(made), log.store, now=log.now)
    daily = daily_log(log.site, log.store, until=log.now)
    return year_answer(year_of(made, daily, read=read, year=year), whom=whom)


def _short(log: Logged, year: int) -> tuple[str, ...]:
    answer = _year(log, year)
    return in_short(year_paper(answer, system=answer["show"]))
