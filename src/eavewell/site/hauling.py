"""Water that comes by truck."""

from dataclasses import dataclass

from eavewell.site.reserve import Reserve


@dataclass(frozen=True, slots=True)
class Hauling:
    """Whole truckloads brought to one store.

    load_l      : one load.
    lead_days   : from order to arrival.
    order_below : ordered at the end of a day on which the store holds less than this;
                  None: the use of the lead and safety days plus the reserves.
    safety_days : added to the lead where order_below is worked out.
    """

    to: str
    load_l: float
    lead_days: int
    order_below: Reserve | None = None
    safety_days: int = 3
