"""Water moved against its own fall: a sump's lift, a header tank's top-up."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Lift:
    """Moves water between two stores within a daily limit.

    source, target : store names; source "mains" is a make-up through an air gap.
    limit_l_day    : most it can move in a day; None for no limit on a daily step.
    source_start_l, source_stop_l : starts when the source holds at least the first, draws it
                     down no further than the second (above dead storage).
    target_start_share, target_stop_share : runs when the target holds at most the first share
                     of its usable volume, fills it no further than the second.
    """

    name: str
    source: str
    target: str
    limit_l_day: float | None = None
    source_start_l: float = 0.0
    source_stop_l: float = 0.0
    target_start_share: float = 1.0
    target_stop_share: float = 1.0
