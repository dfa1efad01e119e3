"""What is fitted to a tank: inlet, overflow, vent, link, drain."""

from dataclasses import dataclass

from eavewell.site.pipe import Pipe


@dataclass(frozen=True, slots=True)
class Overflow:
    """The overflow of one tank, or a sump's spillway.

    pipe     : the pipe from the opening to its end; None where the opening itself is the end.
    weir_m   : width of an open spillway in place of a pipe.
    count    : equal overflows of one tank.
    screened : True where a screen covers it.
    air_break_m : height of free air between its end and the water it may meet; None unknown.
    away_m   : distance from the nearest building to where it lets go; end_m : level there.
    fall     : metres per metre of its pipe; None unknown.
    """

    pipe: Pipe | None = None
    weir_m: float | None = None
    count: int = 1
    screened: bool = False
    air_break_m: float | None = None
    away_m: float | None = None
    end_m: float | None = None
    fall: float | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """The open pipe between neighbours of a row of tanks; level_m is above their floors.

    valves   : whether each tank can be shut off; flexible: whether it gives when bases settle.
    """

    pipe: Pipe
    level_m: float = 0.0
    valves: bool | None = None
    flexible: bool | None = None


@dataclass(frozen=True, slots=True)
class TankFittings:
    """Fittings of one tank; None is unknown, 0 is none.

    inlet_m  : level of the inlet above the floor; inlet_mm its bore.
    bases_m  : level of each floor above the datum where a row's floors differ.
    vent_mm  : bore of the vent; drain_mm of the drain.
    hauled_l_s : flow of a truck filling it; None takes the starting value.
    calmed_inlet : whether the water enters gently at the floor; floating_intake : whether it is
             drawn from under the surface. lid_locked : whether its lids lock.
    mesh_mm  : widest opening left in any screen of the tank; None unknown.
    make_up_l_s : flow of mains make-up; air_gap_m the free air above the rim of the tank.
    backflow_device : what holds tank water back from the mains in its place, in words with its
             listing; "none" for none, "" unknown.
    """

    inlet_m: float | None = None
    inlet_mm: float | None = None
    overflow: Overflow | None = None
    link: Link | None = None
    bases_m: tuple[float, ...] = ()
    vent_mm: float | None = None
    vent_screened: bool = True
    drain_mm: float | None = None
    sight_tube: bool | None = None
    translucent: bool | None = None
    hauled_l_s: float | None = None
    truck_fill_gap: bool | None = None
    make_up_l_s: float | None = None
    air_gap_m: float | None = None
    calmed_inlet: bool | None = None
    floating_intake: bool | None = None
    lid_locked: bool | None = None
    mesh_mm: float | None = None
    backflow_device: str = ""
