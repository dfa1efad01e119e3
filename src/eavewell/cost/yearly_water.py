"""Water of a mean year in the words of a bill: what was wanted, used, hauled, bought."""

from dataclasses import dataclass

from eavewell.site.site import Site
from eavewell.storage.reliability import Reliability


@dataclass(frozen=True, slots=True)
class YearlyWater:
    """Litres of a mean year of the record.

    used_l   : rain that the uses drew; stored and never drawn is none. wanted_l : what they asked.
    make_up_l: mains water beside the rain. loads, worst_loads : hauled, mean and worst year.
    load_l   : one load; None where nothing is hauled.
    """

    wanted_l: float
    used_l: float
    make_up_l: float
    loads: float
    worst_loads: int
    load_l: float | None


def yearly_water(site: Site, found: Reliability) -> YearlyWater:
    """The mean year of a run as drawn."""
    supplied_l = sum(use.supplied_l_year for use in found.uses)
    bought_l = found.hauled_l_year + max(
        found.make_up_l_year - sum(use.make_up_l_year for use in found.uses), 0.0
    )
    return YearlyWater(
        wanted_l=sum(use.wanted_l_year for use in found.uses),
        used_l=max(supplied_l - bought_l, 0.0),
        make_up_l=found.make_up_l_year,
        loads=found.loads_year,
        worst_loads=found.worst_year_loads,
        load_l=max((one.load_l for one in site.hauling), default=None),
    )
