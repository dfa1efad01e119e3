"""The fault finder on a page: a symptom, the next check, and what each answer leaves."""

from dataclasses import dataclass
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query
from fastapi.responses import HTMLResponse

from eavewell.logbook.checked import leaks_of
from eavewell.logbook.faults.fault_answers import fault_answer, log_signs
from eavewell.logbook.faults.faults_found import ANSWERS, answers_of
from eavewell.logbook.upkeep.care import care_of
from eavewell.logbook.upkeep.serviced import serviced
from eavewell.report.faults import DECIDES, faults_page
from eavewell.web.logged import Logged, logged
from eavewell.web.pages import Pages

Plain = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Said:
    """What was said so far.

    symptom : its words, some of them, or its number. said : answers as "1=yes", each parted from
    the next by a comma.
    """

    symptom: Annotated[str, Query(max_length=200)] = ""
    said: Annotated[str, Query(max_length=400)] = ""

    @property
    def answers(self) -> list[str]:
        """Each answer by itself."""
        return [one.strip() for one in self.said.split(",") if one.strip()]

    def with_answer(self, number: int, answer: str) -> str:
        """The address after one more answer, which stands in place of one to the same cause."""
        kept = [one for one in self.answers if not one.startswith(f"{number}=")]
        told = ",".join([*kept, f"{number}={answer}"])
        return "?" + urlencode({"symptom": self.symptom, "said": told})

    def without(self, number: int) -> str:
        """The address with the answer to one cause taken back."""
        kept = ",".join(one for one in self.answers if not one.startswith(f"{number}="))
        return "?" + urlencode({"symptom": self.symptom} | ({"said": kept} if kept else {}))


def router(pages: Pages) -> APIRouter:
    """The fault finder; what was answered stands in its address, so going back takes it back."""
    routes = APIRouter()

    @routes.get("/sites/{name}/faults.json", summary="A symptom of one site, its causes weighed")
    def data(name: str, said: Annotated[Said, Depends()]) -> Plain:
        with logged(pages, name) as log:
            return _found(log, said)

    @routes.get("/sites/{name}/faults", include_in_schema=False)
    def page(name: str, said: Annotated[Said, Depends()]) -> HTMLResponse:
        with logged(pages, name) as log:
            answer = _found(log, said)
        told = {"name": log.shown.folder.name, "title": log.shown.title, "answer": answer}
        known = [one for one in answer["causes"] if one["state"] != "open"]
        return HTMLResponse(
            pages.html(
                "faults.html",
                said=said,
                answered=known,
                ways=ANSWERS,
                decides=DECIDES,
                blocks=faults_page(answer)[1:] if answer["symptom"] else [],
                **told,
            )
        )

    return routes


def _found(log: Logged, said: Said) -> Plain:
    designed = dict(log.shown.answer or {})
    read = serviced(care_of(log.design), log.store, now=log.now)
    leaks = leaks_of(log.design, log.store, now=log.now).findings
    signs = log_signs(designed, read, findings=leaks)
    answers = answers_of(said.answers)
    return fault_answer(designed, said.symptom, answers=answers, signs=signs, day=read.today)
