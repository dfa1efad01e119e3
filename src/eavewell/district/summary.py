"""What the screening of many roofs says at its end."""

from pathlib import Path
from typing import Any

from eavewell.district.reasons import counted_reasons
from eavewell.district.run import Outcome
from eavewell.district.run_page import ABOUT_RUNS, sizes_block
from eavewell.report.blocks import Block, paragraph
from eavewell.weather.counted import counted

_MOST_REASONS = 5


def summary_page(outcome: Outcome, folder: Path) -> list[Block]:
    """Each size over all roofs, the bad rows by reason, and where everything stands."""
    run: Any = outcome.run
    before = f" {outcome.before:,} of them stood there already." if outcome.before else ""
    page: list[Block] = [
        paragraph(f"{run['name']}: {counted(outcome.roofs, 'roof')} screened.{before}"),
    ]
    if sizes := sizes_block(run):
        page += [*sizes, paragraph("Volumes are those of a mean roof.", ABOUT_RUNS)]
    page += [paragraph(*run["says"]), *_bad(outcome)]
    if aside := run["columns_not_read"]:
        page.append(paragraph(f"Columns that were not read: {', '.join(aside)}."))
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
