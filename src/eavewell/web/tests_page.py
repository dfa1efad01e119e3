"""Water tests on a page: results against their limits, what to do today, how a sample is drawn."""

from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from eavewell.answers.shown import Sizes
from eavewell.logbook.upkeep.care import care_of
from eavewell.logbook.upkeep.service_answers import results_answer
from eavewell.logbook.upkeep.serviced import serviced
from eavewell.report.results import card_blocks, results_blocks
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages

Plain = dict[str, Any]


def router(pages: Pages) -> APIRouter:
    """The water tests of a site, and their data."""
    routes = APIRouter()

    @routes.get("/sites/{name}/tests.json", summary="How the water tests of one site stand")
    def data(name: str) -> Plain:
        with logged(pages, name) as log:
            return _results(log)

    @routes.get("/sites/{name}/tests", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        with logged(pages, name) as log:
            answer = _results(log)
            sizes = Sizes(answer["show"])
            told = {"name": log.shown.folder.name, "title": log.shown.title, "day": answer["day"]}
            results, card = results_blocks(answer, sizes), card_blocks(answer)
            return HTMLResponse(pages.html("tests.html", results=results, card=card, **told))

    return routes


def _results(log: Logged) -> Plain:
    read = serviced(care_of(log.design), log.store, now=log.now)
    return results_answer(log.site, read.results)
