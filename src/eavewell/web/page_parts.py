"""What stands on the page of a site: the drawing, each reach described and what comes of it."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import standing_at
from eavewell.report.blocks import Heading
from eavewell.report.doubts import doubts_section
from eavewell.web.changes import history_of
from eavewell.web.curve_plate import curve_plate
from eavewell.web.desk import OnDesk, system_of
from eavewell.web.forms import Described, Form, facts_of
from eavewell.web.last_read import has_log
from eavewell.web.reaches import REACHES, Reach
from eavewell.web.section_on_page import section_on_page


def page_parts(shown: OnDesk) -> dict[str, Any]:
    """What stands on the page of a site."""
    system = system_of(shown)
    return {
        "shown": shown,
        "name": shown.folder.name,
        "title": shown.title,
        "has_log": has_log(shown),
        "history": history_of(shown.folder),
        "section": section_on_page(shown),
        "system": system,
        "plate": curve_plate(shown.answer) if shown.answer else "",
        "version": shown.version,
        "site": site_itself(shown),
        "reaches": [_reach(one, shown) for one in REACHES],
    }


def form_of(shown: OnDesk) -> Form:
    """The fields of a site to fill in."""
    return Form.of(shown.raw or {}, shown.faults, system=system_of(shown))


def site_itself(shown: OnDesk, *, opened: bool = False) -> Described:
    """The fields that stand above all tables, as a part of their own."""
    return Described(
        "site",
        "The site itself",
        facts_of(shown.raw or {}, "site"),
        "",
        entries=form_of(shown).top() if opened else (),
    )


def summaries(shown: OnDesk, way: Address) -> list[Described]:
    """Every part that a field stands in, as its summary line tells it."""
    if len(way) == 1:
        return [site_itself(shown)]
    form, ways = form_of(shown), [way[:length] for length in range(1, len(way))]
    return [form.summary(one) for one in ways if _is_part(form, one)]


def _is_part(form: Form, way: Address) -> bool:
    return way != ("goal",) and not isinstance(standing_at(form.raw, way), list)


def _reach(reach: Reach, shown: OnDesk) -> dict[str, Any]:
    form = form_of(shown)
    tables = [form.table(one) for one in reach.tables if one != "goal"]
    goals = form.goals() if "goal" in reach.tables else ()
    return {"reach": reach, "tables": [*goals, *tables], **_results(reach, shown)}


def _results(reach: Reach, shown: OnDesk) -> dict[str, Any]:
    """What the report says of a reach, and what the checks found there."""
    if shown.answer is None:
        return {"blocks": [], "findings": [], "later": False}
    sizes = Sizes(shown.answer["place"]["show"])
    blocks = (one for section in reach.sections for one in section(dict(shown.answer), sizes))
    return {
        "later": shown.fresh
        and shown.answer["doubts"] is None
        and doubts_section in reach.sections,
        "blocks": [one for one in blocks if one != Heading(reach.title)],
        "findings": [one for one in shown.answer["findings"] if one["reach"] in reach.found],
    }
