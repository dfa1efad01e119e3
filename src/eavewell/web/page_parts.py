"""What stands on the page of a site: the drawing, each reach described and what comes of it."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.report.blocks import Heading
from eavewell.web.changes import history_of
from eavewell.web.curve_plate import curve_plate
from eavewell.web.desk import OnDesk, system_of
from eavewell.web.forms import described, top_entries
from eavewell.web.reaches import REACHES, Reach
from eavewell.web.section_on_page import section_on_page


def page_parts(shown: OnDesk) -> dict[str, Any]:
    """What stands on the page of a site."""
    system = system_of(shown)
    raw = shown.raw or {}
    return {
        "shown": shown,
        "name": shown.folder.name,
        "title": raw.get("name") or shown.folder.name,
        "history": history_of(shown.folder),
        "section": section_on_page(shown),
        "system": system,
        "plate": curve_plate(shown.answer) if shown.answer else "",
        "reaches": [_reach(one, shown, system=system) for one in REACHES] if raw else [],
        "top": top_entries(raw, faults=shown.faults, system=system) if raw else (),
        "loose": [one for one in shown.faults if not one.address],
    }


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
    blocks = (one for section in reach.sections for one in section(dict(shown.answer), sizes))
    return {
        "blocks": [one for one in blocks if one != Heading(reach.title)],
        "findings": [one for one in shown.answer["findings"] if one["reach"] in reach.found],
    }
