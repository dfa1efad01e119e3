"""The rules of the place as plain data."""

from datetime import date
from typing import Any

from eavewell.rules.judged import Due, Judged, Spacing
from eavewell.rules.papers import Paper
from eavewell.rules.triggers import Met

Plain = dict[str, Any]
_UNITS = {"tank volume": "L", "total volume": "L", "height over width": "m/m"}


def rules_answer(judged: Judged) -> Plain:
    """What the authority asks for, what is done and what falls due; never a verdict."""
    authority = judged.authority
    return {
        "authority": authority.name,
        "edition": authority.edition,
        "is_model": authority.is_model,
        "judged_on": judged.today.isoformat(),
        "ready": judged.is_ready,
        "triggers": [_trigger(one) for one in judged.triggers],
        "setbacks": [_spacing(one) for one in judged.spacings],
        "papers": [_paper(one) for one in judged.papers],
        "other_papers": [
            {"name": one.name, "done": _day(one.done), "by": one.by} for one in judged.unasked
        ],
        "inspections": [_due(one) for one in judged.due],
        "drainage_years": authority.drainage_years,
        "drainage_minutes": authority.drainage_minutes,
    }


def _trigger(one: Met) -> Plain:
    return {
        "name": one.trigger.name,
        "measure": one.trigger.measure,
        "met": one.is_met,
        "things": list(one.things),
        "unknown": list(one.unknown),
        "measured": one.measured,
        "above": one.trigger.above,
        "unit": _UNITS.get(one.trigger.measure, ""),
        "asks": one.trigger.asks,
        "source": one.trigger.written.in_words,
    }


def _spacing(one: Spacing) -> Plain:
    return {
        "of": f"{one.setback.of} {one.tank!r}" if one.tank else one.setback.of,
        "to": one.setback.to,
        "least_m": one.setback.least_m,
        "known_m": one.known_m,
        "kept": one.is_kept,
        "source": one.setback.written.in_words,
    }


def _paper(one: Paper) -> Plain:
    return {
        "name": one.asked.name,
        "when": one.asked.when,
        "state": one.state,
        "due": _day(one.due),
        "done": _day(one.done),
        "by": one.by,
        "source": one.asked.written.in_words,
    }


def _due(one: Due) -> Plain:
    return {
        "what": one.inspection.what,
        "every_days": one.inspection.every_days,
        "next": _day(one.day),
        "source": one.inspection.written.in_words,
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None
