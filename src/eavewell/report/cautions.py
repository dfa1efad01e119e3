"""The cautions of one part of the report, as one paragraph below its figures."""

from typing import Any

from eavewell.answers.shown import listed
from eavewell.report.blocks import Caution

Plain = dict[str, Any]


def cautioned(answer: Plain, of: str) -> Caution:
    """Every caution of that part, and the roles that decide; nothing where there is none."""
    mine = [one for one in answer.get("cautions", ()) if one["of"] == of]
    roles = list(dict.fromkeys(role for one in mine for role in one["decides"]))
    decide = f"{listed(roles)} decide{'s' if len(roles) == 1 else ''}" if roles else ""
    says = [one["says"] for one in mine]
    says += [f"Screening, not design approval: {decide}."] if decide else []
    return Caution(" ".join(says))
