"""What the screening of many roofs says at its end."""

from pathlib import Path
from typing import Any

from eavewell.district.reasons import counted_reasons
from eavewell.district.run import Outcome
from eavewell.report.blocks import Block, paragraph, ruled
from eavewell.site.place import Show
from eavewell.units import show
from eavewell.weather.counted import counted

_MOST_REASONS = 5
_OF_A_ROOF = ("supplied_l_year", "spilled_l_year", "make_up_l_year")


def summary_page(outcome: Outcome, folder: Path) -> list[Block]:
    """Each size over all roofs, the bad rows by reason, and where everything stands."""
    run: Any = outcome.run
    system: Show = run["show"]
    before = f" {outcome.before:,} of them stood there already." if outcome.before else ""
    page: list[Block] = [
        paragraph(f"{run['name']}: {counted(outcome.roofs, 'roof')} screened.{before}"),
    ]
    rows = [
        (
            show(one["size_l"], "volume", system=system),
            f"{one['reaching']:,}",
            show(one["mean_supplied_share"], "share", system=system),
            *(show(one[name] / outcome.roofs, "volume", system=system) for name in _OF_A_ROOF),
        )
        for one in run["sizes"]
    ]
    if rows:
        head = ("tank", "reach the goal", "supplied", "supplied/yr", "spilled/yr", "mains/yr")
        page += [ruled(head, rows), paragraph("Volumes are those of a mean roof.")]
    page += [paragraph(*run["says"]), *_bad(outcome)]
    page.append(paragraph(f"Everything stands in {folder}: roofs, sizes, bad_rows.csv, run.json."))
    return page


def _bad(outcome: Outcome) -> list[Block]:
    if not outcome.bad:
        return []
    reasons = counted_reasons(one.reason for one in outcome.bad)
    listed = "; ".join(f"{reason} ({count:,})" for reason, count in reasons[:_MOST_REASONS])
    left = sum(count for _, count in reasons[_MOST_REASONS:])
    more = f"; other reasons ({left:,})" if left else ""
    return [paragraph(f"{counted(len(outcome.bad), 'row')} not screened: {listed}{more}.")]
