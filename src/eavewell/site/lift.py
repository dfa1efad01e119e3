"""Water moved against its own fall: a sump's lift, a header tank's top-up."""

from dataclasses import dataclass

from eavewell.site.pipe import Pipe
from eavewell.site.pump import Pump


@dataclass(frozen=True, slots=True)
class Lift:
    """Moves water between two stores within a daily limit.

    source, target : store names; source "mains" is a make-up through an air gap.
    limit_l_day    : most it can move in a day; None for no limit on a daily step.
    source_start_l, source_stop_l : starts when the source holds at least the first, draws it
                     down no further than the second (above dead storage).
    target_start_share, target_stop_share : runs when the target holds at most the first share
                     of its usable volume, fills it no further than the second.
    pump       : None where only a daily limit is known. riser : its pipe; let_go_m : level at
                 which it lets the water go, above the datum; None takes the rim of the target.
    start_m, stop_m : float levels above the floor of the source; None unknown.
    check_valve, weep_hole, full_float, alarm, second_pump : whether they are there; None unknown.
    solids_mm  : largest solid that reaches the pump; None unknown.
    """

    name: str
    source: str
    target: str
    limit_l_day: float | None = None
    source_start_l: float = 0.0
    source_stop_l: float = 0.0
    target_start_share: float = 1.0
    target_stop_share: float = 1.0
    pump: Pump | None = None
    riser: Pipe | None = None
    let_go_m: float | None = None
    start_m: float | None = None
    stop_m: float | None = None
    check_valve: bool | None = None
    weep_hole: bool | None = None
    full_float: bool | None = None
    alarm: bool | None = None
    second_pump: bool | None = None
    solids_mm: float | None = None
