"""What was looked at, in words: each line beside the log, and what became of all of them."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from eavewell.logbook.entries.log_answer import when_said
from eavewell.logbook.entries.looked_at import Looked
from eavewell.logbook.entries.shown import Words
from eavewell.logbook.readings.figures import in_usual_unit
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.store.arriving import Added, Differs
from eavewell.logbook.store.documents import instant_of
from eavewell.site.site import Site

Plain = dict[str, Any]


def lines_answer(site: Site, looked: Sequence[Looked], *, now: datetime) -> list[Plain]:
    """Each line: when, what, what it says, who, and what is to be said of it."""
    return [_line(site, one, now=now) for one in looked]


def _line(site: Site, one: Looked, *, now: datetime) -> Plain:
    words, entry = Words(site, here=True), one.entry
    said = one.line.words
    what, says = words.of(entry) if entry else (said.get("gauge", ""), said.get("said", ""))
    return {
        "name": one.line.name,
        "kind": one.line.kind,
        "when": when_said(site, instant_of(entry), now=now) if entry else said.get("at", ""),
        "what": what or one.line.kind,
        "says": says,
        "who": said.get("who", ""),
        "note": said.get("note", ""),
        "state": one.state,
        "why": one.says,
        "doubts": list(one.doubts),
    }


def taken_answer(site: Site, looked: Sequence[Looked], *, added: Added) -> Plain:
    """How many were written, how many stood there, and what was left out and why."""
    there = sum(one.state == "there" for one in looked)
    left = [
        f"{one.line.words.get('gauge', one.line.kind)}: {one.says}"
        for one in looked
        if one.state in ("refused", "differs")
    ]
    return {
        "new": added.new,
        "already": added.already + there,
        "left": [*left, *(_differs(site, one) for one in added.differs)],
    }


def _differs(site: Site, one: Differs) -> str:
    gauge = next(each for each in gauges_of(site) if each.name == one.gauge)
    came, stands = (
        in_usual_unit(gauge, value, show=site.place.show) for value in (one.value, one.stands)
    )
    return f"{one.gauge}: {came} and {stands} are both said of one instant; the second one stands."
