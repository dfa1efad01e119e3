"""Every chart of a design by its file name."""

from collections.abc import Mapping
from typing import Any

from eavewell.papers.charts.cost_front import chart_cost_front
from eavewell.papers.charts.levels import chart_levels
from eavewell.papers.charts.months import chart_months
from eavewell.papers.charts.storage import chart_storage
from eavewell.papers.charts.storms import chart_storms
from eavewell.papers.charts.years import chart_years
from eavewell.site.place import Show


def charts(
    answer: Mapping[str, Any], *, system: Show, weighed: Mapping[str, Any] | None = None
) -> dict[str, str]:
    """SVG text by file name, of every chart that has something to show.

    answer : a design as plain data. weighed : its choices weighed, as plain data.
    """
    found = {
        "charts/levels.svg": chart_levels(answer, system=system),
        "charts/storage.svg": chart_storage(answer, system=system),
        "charts/months.svg": chart_months(answer, system=system),
        "charts/years.svg": chart_years(answer, system=system),
        "charts/storms.svg": chart_storms(answer, system=system),
        "charts/cost-front.svg": chart_cost_front(weighed, system=system) if weighed else None,
    }
    return {name: svg for name, svg in found.items() if svg is not None}
