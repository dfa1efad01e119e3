"""A water line from a tank to its outlets, by gravity or with a pump."""

from dataclasses import dataclass
from typing import Literal

from eavewell.site.barrier import Works
from eavewell.site.outlet import Lateral, Outlet, Trough
from eavewell.site.pipe import Pipe
from eavewell.site.pump import Pump

Control = Literal["switch", "on demand", "variable speed"]
InLineKind = Literal[
    "filter",
    "carbon",
    "softener",
    "neutraliser",
    "chlorine",
    "contact tank",
    "test point",
    "lamp",
    "shut valve",
    "flow limiter",
    "storage",
    "meter",
    "backflow device",
    "other",
]


@dataclass(frozen=True, slots=True)
class InLine:
    """Something the water passes: filter, lamp, meter, backflow device.

    rated_l_s : flow at which the losses hold.
    clean_m, dirty_m : head lost at that flow when clean, and when it must be changed.
    most_l_s  : most flow it may pass; None unknown.
    passage_mm: mesh or rating of a filter; None unknown.
    works     : what it does as a barrier; None where it is none or nothing is known.
    bypass    : True where a pipe leads around it; None unknown.
    """

    name: str
    kind: InLineKind
    rated_l_s: float
    clean_m: float
    dirty_m: float
    most_l_s: float | None = None
    passage_mm: float | None = None
    works: Works | None = None
    bypass: bool | None = None


@dataclass(frozen=True, slots=True)
class PressureTank:
    """A pressure tank.

    size_l : its whole volume. precharge_m : head of its air without water; None unknown.
    level_m : where it stands above the datum; None takes the pump's level.
    after  : name of the thing in the line behind which it stands; "" straight after the pump.
    """

    size_l: float
    precharge_m: float | None = None
    level_m: float | None = None
    after: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One line; without a pump it runs by gravity.

    source  : the tank it draws from; level_m : where it leaves the tank, above the datum; None
              takes the tank's outlet.
    main    : the pipe that its branches leave; outlets name their distance along it.
    suction : pipe from tank to pump; pump_m : level of the pump's eye, above the datum.
    cut_in_m, cut_out_m : heads at the pump at which a switch starts and stops it; for the other
              controls the head it holds is cut_out_m.
    dry_run_m : tank level above its floor at which a cut-off stops the pump; None unknown, 0 none.
    in_line : what the water passes, in the order of flow.
    heater  : True where a water heater stands on it.
    hydrant_drains : True where a frost-free hydrant on it drains into the soil.
    expansion_tank : True where heated water can grow between check valve and heater.
    vacuum_breakers : True where every hose bibb has one.
    serves  : names of the uses it brings water to; () takes those that draw from its tank.
    """

    name: str
    source: str
    main: Pipe
    level_m: float | None = None
    pump: Pump | None = None
    pump_m: float | None = None
    suction: Pipe | None = None
    control: Control = "switch"
    cut_in_m: float | None = None
    cut_out_m: float | None = None
    pressure_tank: PressureTank | None = None
    check_valve: bool | None = None
    dry_run_m: float | None = None
    in_line: tuple[InLine, ...] = ()
    outlets: tuple[Outlet, ...] = ()
    laterals: tuple[Lateral, ...] = ()
    troughs: tuple[Trough, ...] = ()
    heater: bool | None = None
    hydrant_drains: bool | None = None
    expansion_tank: bool | None = None
    vacuum_breakers: bool | None = None
    serves: tuple[str, ...] = ()

    @property
    def pipes(self) -> tuple[tuple[Pipe, int], ...]:
        """Suction, main, branches and feeds, each with how many there are."""
        found: list[tuple[Pipe | None, int]] = [(self.suction, 1), (self.main, 1)]
        found += [(one.branch, one.count) for one in self.outlets]
        found += [(one.branch, 1) for one in self.troughs]
        found += [(one.feed, 1) for one in self.laterals]
        return tuple((pipe, count) for pipe, count in found if pipe is not None)
