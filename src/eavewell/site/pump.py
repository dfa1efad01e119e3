"""A pump."""

from dataclasses import dataclass
from typing import Literal

PumpKind = Literal["sump", "jet", "submersible"]


@dataclass(frozen=True, slots=True)
class Pump:
    """A pump by its curve.

    curve   : pairs of flow (L/s) and head (m), flow rising from 0 and head falling.
    input_w : electric power it takes while running; start_w : at the start; None unknown.
    motor_w : shaft power on its plate; None unknown.
    npsh_m  : suction head it needs at its largest flow; None unknown.
    solids_mm : largest solid it passes; least_l_s : least flow it may run at for long.
    """

    name: str
    kind: PumpKind
    curve: tuple[tuple[float, float], ...]
    input_w: float | None = None
    start_w: float | None = None
    motor_w: float | None = None
    npsh_m: float | None = None
    solids_mm: float | None = None
    least_l_s: float = 0.0

    @property
    def shut_off_m(self) -> float:
        """Head at no flow."""
        return self.curve[0][1]
