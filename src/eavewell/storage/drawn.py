"""The system as it is described, run through the whole record."""

from dataclasses import dataclass

from eavewell.demand.figures import DemandFigures, demand_figures
from eavewell.site.site import Site
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.balance import EveryDay
from eavewell.storage.in_service import run_in_service, start_in_words
from eavewell.storage.reliability import Reliability, reliability
from eavewell.storage.series import Series, uses_in_order


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """The long-run figures of the system as described, with every day of its stores.

    demand : of each use in the order of service. roof_l_year : runoff of each drained roof.
    start  : which start level the figures assume.
    """

    reliability: Reliability
    every_day: EveryDay
    demand: tuple[DemandFigures, ...]
    roof_l_year: tuple[float, ...]
    start: str


def as_drawn(site: Site, series: Series) -> Drawn:
    """Run the site as it is described, and keep every day."""
    lanes = lanes_as_drawn(site)
    balance = run_in_service(site, arrange(site, series, lanes=lanes), keep_lane=0)
    assert balance.every_day is not None
    years = series.days / 365.25
    return Drawn(
        reliability=reliability(
            balance, series, names=tuple(use.name for use in uses_in_order(site))
        ),
        every_day=balance.every_day,
        demand=tuple(demand_figures(column, series.dates) for column in series.demand_l.T),
        roof_l_year=tuple(series.runoff_mm.sum(axis=0) * lanes.area_m2[:, 0] / years),
        start=start_in_words(site),
    )
