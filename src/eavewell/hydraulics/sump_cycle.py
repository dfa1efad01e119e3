"""How often a pump starts: cycle time, starts an hour and run of a sump between its floats."""

import math

from eavewell.faults import OutOfRange
from eavewell.site.pump import Pump
from eavewell.tables import Entry, table
from eavewell.units import read


def shortest_cycle_min(between_l: float, pump_l_s: float) -> float:
    """Shortest time from start to start, 4 V/q, at an inflow of half the pump's flow."""
    return _four() * _some(between_l, "volume") / _some(pump_l_s, "flow") / 60.0


def most_starts_h(between_l: float, pump_l_s: float) -> float:
    """Most starts an hour, q/(4 V); in US units 60 q/(4 V) with gal and gpm."""
    return 60.0 / shortest_cycle_min(between_l, pump_l_s)


def least_run_min(between_l: float, pump_l_s: float) -> float:
    """Shortest run of the pump, V/q, with no inflow left."""
    return _some(between_l, "volume") / _some(pump_l_s, "flow") / 60.0


def between_floats_l(pump_l_s: float, *, starts_h: float) -> float:
    """Least volume between the floats for at most so many starts an hour, V = t q/4."""
    return 3600.0 / _some(starts_h, "number of starts") * _some(pump_l_s, "flow") / _four()


def drained_back_l(bore_mm: float, length_m: float) -> float:
    """Water that a riser holds and gives back through a weep hole or a failed check valve."""
    area_m2 = math.pi / 4.0 * (_some(bore_mm, "bore") / 1000.0) ** 2
    return 1000.0 * area_m2 * _some(length_m, "length")


def starts_allowed(pump: Pump) -> Entry | None:
    """Most starts an hour of a motor by its plate; None where its power is unknown."""
    if pump.motor_w is None:
        return None
    small = pump.motor_w <= read("3/4 hp", "power") * 1.001
    return table("pump_starts")["up to 3/4 hp" if small else "above 3/4 hp"]


def _four() -> float:
    return table("sump")["cycle per volume over flow"].value


def _some(value: float, what: str) -> float:
    if not value > 0.0:
        raise OutOfRange(f"A {what} of {value:g} moves no water.")
    return value
