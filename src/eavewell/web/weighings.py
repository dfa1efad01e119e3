"""The choices of a site weighed on demand, remembered as long as its text says the same."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from threading import Lock
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.faults import BadSite
from eavewell.files.record import beside_of
from eavewell.files.site.edit import changed_text
from eavewell.files.site.toml_splices import standing_at
from eavewell.report.weighed import choice_in_words, choice_named
from eavewell.site.weighing import Choice
from eavewell.web.desk import Desk, OnDesk
from eavewell.web.site_locks import SiteLocks
from eavewell.web.versions import LONGEST_NAME
from eavewell.weigh import weigh
from eavewell.weigh.answer import weighed_answer
from eavewell.weigh.in_file import changes_of, left_out

KEPT = 6
Plain = dict[str, Any]
_CHOICE = ("count", "each_l", "roof_m2", "fixtures", "garden", "rations")


@dataclass(slots=True)
class Weighings:
    """The last few sites weighed, of one site one at a time."""

    made: dict[tuple[str, str], Plain] = field(default_factory=dict)
    locks: SiteLocks = field(default_factory=SiteLocks)
    door: Lock = field(default_factory=Lock)

    def has(self, shown: OnDesk) -> bool:
        """Whether it is weighed already, so that it costs no wait."""
        return shown.fresh and _key(shown) in self.made

    def of(self, desk: Desk, shown: OnDesk) -> Plain:
        """The choices of a site: what its file asks for, else the sizes commonly sold."""
        if not shown.fresh or shown.design is None:
            raise BadSite(shown.faults)
        with self.locks.of(shown.folder):
            found = self.made.get(_key(shown))
            if found is None:
                made, beside = shown.design, desk.recall.files(beside_of, shown.design.site)
                weighed = weigh(made.site, made.rain.record, beside=beside, drawn=made)
                found = self._kept(_key(shown), weighed_answer(weighed))
            return found

    def _kept(self, key: tuple[str, str], answer: Plain) -> Plain:
        with self.door:
            while len(self.made) >= KEPT:
                self.made.pop(next(iter(self.made)))
            self.made[key] = answer
        return answer

    def listed(self, answer: Plain, sizes: Sizes) -> list[Plain]:
        """Every choice to pick from, in order of its cost, each with its words."""
        return [_one(one, answer, sizes=sizes) for one in _to_pick(answer)]

    def text_of(self, desk: Desk, shown: OnDesk, *, row: int) -> tuple[str, Mapping[str, Any]]:
        """The site file as one choice would have it, and what of it no file can say."""
        answer = self.of(desk, shown)
        one, sizes = _to_pick(answer)[row], Sizes(answer["show"])
        choice, site = Choice(**{key: one[key] for key in _CHOICE}), _site(shown)
        changes = changes_of(site, shown.raw or {}, choice=choice, tank=answer["tank"])
        text = shown.text
        for way, value in changes:
            if value is not None or standing_at(tomllib.loads(text), way) is not None:
                text = changed_text(text, way, value=value, file=str(shown.folder.file))
        told = {
            "named": choice_named(one, answer, sizes=sizes),
            "words": choice_in_words(one, answer, sizes=sizes),
            "suggested": _as_name(choice_named(one, answer, sizes=sizes)),
            "left_out": left_out(site, choice, tank=answer["tank"]),
        }
        return text, told


def _site(shown: OnDesk) -> Any:
    return shown.design.site if shown.design else None


def _one(one: Plain, answer: Plain, *, sizes: Sizes) -> Plain:
    named, words = choice_named(one, answer, sizes=sizes), choice_in_words(one, answer, sizes=sizes)
    return {
        "choice": one,
        "named": named,
        "words": words,
        "gives": words.removeprefix(f"{named}, "),
        "present": one == answer["present"],
        "cheapest": one == answer["cheapest"] and answer["some_meets_goals"],
    }


def _as_name(words: str) -> str:
    """Words as a name of a version may be."""
    return words.replace(" %", " per cent").replace("/", "-")[:LONGEST_NAME].rstrip(" ,.")


def _key(shown: OnDesk) -> tuple[str, str]:
    return str(shown.folder.path), shown.worked_out


def _to_pick(answer: Plain) -> list[Plain]:
    """The front, the present and the cheapest that meets every goal, each once, by cost."""
    found: list[Plain] = []
    for one in (*answer["by_days"], answer["present"], answer["cheapest"]):
        if one not in found:
            found.append(one)
    return sorted(found, key=lambda one: float(one["life"]["typical"]))
