"""Head lost in a pipe: friction, fittings, speed."""

import math
from collections.abc import Callable, Mapping
from functools import cache

import numpy as np

from eavewell.faults import OutOfRange
from eavewell.site.pipe import Pipe
from eavewell.tables import Entry, rows, table

GRAVITY_M_S2 = 9.80665
HAZEN_WILLIAMS_EXPONENT = 1.852
PLASTIC = ("pvc", "polyethylene")
# The inch and foot of the published table of equivalent lengths.
_MM_PER_IN, _M_PER_FT = 25.4, 0.3048


def speed_m_s(flow_l_s: float, bore_mm: float) -> float:
    """Mean speed in a full pipe: flow over area."""
    return flow_l_s / 1000.0 / (math.pi / 4.0 * (_some_bore(bore_mm) / 1000.0) ** 2)


def velocity_head_m(flow_l_s: float, bore_mm: float) -> float:
    """Head that the speed itself stands for, v squared over 2 g."""
    return speed_m_s(flow_l_s, bore_mm) ** 2 / (2.0 * GRAVITY_M_S2)


def friction_m_hazen_williams(
    flow_l_s: float, *, bore_mm: float, length_m: float, roughness_c: float
) -> float:
    """Friction head of a full pipe by Hazen and Williams.

    Cold water, turbulent flow; a negative flow loses head the other way. Raises OutOfRange for a
    bore, length or C that no pipe has.
    """
    per_flow = resistance_hazen_williams(bore_mm, length_m, roughness_c=roughness_c)
    return math.copysign(per_flow * abs(flow_l_s) ** HAZEN_WILLIAMS_EXPONENT, flow_l_s)


def resistance_hazen_williams(bore_mm: float, length_m: float, *, roughness_c: float) -> float:
    """Head in m that a flow of 1 L/s loses: h = r Q^1.852.

    The constants are those of the US form, h = 4.727 L Q^1.852 / (C^1.852 d^4.871) in feet and
    cubic feet per second (10.67 and 4.87 in SI units, rounded); within 2 % of published tables.
    """
    if length_m < 0.0 or not 50.0 <= roughness_c <= 160.0:
        raise OutOfRange(f"A pipe of {length_m:g} m with C {roughness_c:g} is no pipe.")
    bore_ft = _some_bore(bore_mm) / 1000.0 / _M_PER_FT
    flow_ft3_s = 1.0 / (1000.0 * _M_PER_FT**3)
    carried = (flow_ft3_s / roughness_c) ** HAZEN_WILLIAMS_EXPONENT
    return float(4.727 * length_m * carried / bore_ft**4.871)


def friction_factor_swamee_jain(reynolds: float, relative_roughness: float) -> float:
    """Darcy friction factor of a rough pipe by the explicit formula of Swamee and Jain (1976).

    reynolds : 5,000 to 1e8; relative_roughness : 1e-6 to 0.05. Raises OutOfRange outside.
    """
    if not (5e3 <= reynolds <= 1e8 and 1e-6 <= relative_roughness <= 0.05):
        raise OutOfRange("Swamee-Jain holds for Reynolds 5,000 to 1e8 and roughness 1e-6 to 0.05.")
    return float(0.25 / math.log10(relative_roughness / 3.7 + 5.74 / reynolds**0.9) ** 2)


def friction_factor_colebrook(reynolds: float, relative_roughness: float) -> float:
    """Darcy friction factor by Colebrook (1939), iterated to 1e-12; 64/Re below 2,000.

    relative_roughness : 0 to 0.05. Raises OutOfRange outside, and between laminar and turbulent
    flow (2,000 to 4,000), where no formula holds.
    """
    if reynolds <= 0.0 or not 0.0 <= relative_roughness <= 0.05:
        raise OutOfRange("Colebrook holds for flow above 0 and roughness 0 to 0.05.")
    if reynolds <= 2000.0:
        return 64.0 / reynolds
    if reynolds < 4000.0:
        raise OutOfRange("Between Reynolds 2,000 and 4,000 no friction formula holds.")
    root = 8.0
    for _ in range(60):
        root = -2.0 * math.log10(relative_roughness / 3.7 + 2.51 * root / reynolds)
    return 1.0 / root**2


def friction_m_darcy(
    flow_l_s: float, *, bore_mm: float, length_m: float, roughness_mm: float, celsius: float = 15.0
) -> float:
    """Friction head of a full pipe by Darcy and Weisbach with Colebrook's factor."""
    speed = speed_m_s(abs(flow_l_s), bore_mm)
    if speed == 0.0:
        return 0.0
    reynolds = speed * bore_mm / 1000.0 / viscosity_m2_s(celsius)
    factor = friction_factor_colebrook(reynolds, roughness_mm / bore_mm)
    head_m = factor * length_m / (bore_mm / 1000.0) * velocity_head_m(flow_l_s, bore_mm)
    return math.copysign(head_m, flow_l_s)


def viscosity_m2_s(celsius: float) -> float:
    """Kinematic viscosity of water, 0 to 60 C, by the exponential of Vogel (from memory, 1 %)."""
    if not 0.0 <= celsius <= 60.0:
        raise OutOfRange(f"Viscosity is known from 0 to 60 C, not at {celsius:g} C.")
    return float(2.414e-8 * 10.0 ** (247.8 / (celsius + 133.15)))


def developed_length_m(pipe: Pipe) -> float:
    """Length of a pipe with its fittings as equal lengths of pipe, where a table gives them.

    Plastic pipe only (tables/equivalent_lengths.csv); other fittings count by `fittings_k`.
    """
    lengths = (
        count * _equivalent_m(name, pipe.bore_mm)
        for name, count in pipe.fittings
        if _by_length(name, pipe)
    )
    return pipe.length_m + sum(lengths)


def fittings_k(pipe: Pipe) -> float:
    """Sum of the loss coefficients of the fittings that the developed length leaves out."""
    known = table("fittings")
    return sum(
        count * _known(known, name).value
        for name, count in pipe.fittings
        if not _by_length(name, pipe)
    )


def roughness_c(material: str) -> float:
    """Hazen-Williams C of a material; OutOfRange for one the table does not know."""
    return _known(table("pipe_hazen_williams"), material).value


def pipe_loss_m(flow_l_s: float, pipe: Pipe) -> float:
    """Head lost in a pipe with its fittings; entrance and exit count where they are listed."""
    return _loss_of(pipe)(flow_l_s)


def _loss_of(pipe: Pipe) -> Callable[[float], float]:
    """The loss of a pipe by its flow; what does not depend on the flow is looked up once."""
    bore_mm, length_m, fitted_k = pipe.bore_mm, developed_length_m(pipe), fittings_k(pipe)
    rough_c = roughness_c(pipe.material)

    def loss_m(flow_l_s: float) -> float:
        friction = friction_m_hazen_williams(
            flow_l_s, bore_mm=bore_mm, length_m=length_m, roughness_c=rough_c
        )
        return friction + math.copysign(fitted_k * velocity_head_m(flow_l_s, bore_mm), flow_l_s)

    return loss_m


def most_flow_l_s(head_m: float, pipe: Pipe) -> float:
    """Flow at which a pipe loses just this head, by halving; 0 where there is no head."""
    if head_m <= 0.0:
        return 0.0
    low, high, loss_m = 0.0, 1.0, _loss_of(pipe)
    while loss_m(high) < head_m:
        high *= 2.0
        if high > 1e6:
            raise OutOfRange("A pipe of no length and no fittings sets no flow.")
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if loss_m(middle) < head_m else (low, middle)
    return low


def _some_bore(bore_mm: float) -> float:
    if not 1.0 <= bore_mm <= 3000.0:
        raise OutOfRange(f"A bore of {bore_mm:g} mm is no pipe's.")
    return bore_mm


def _by_length(name: str, pipe: Pipe) -> bool:
    return pipe.material in PLASTIC and bool(_per_bore(name)[0])


def _equivalent_m(name: str, bore_mm: float) -> float:
    """Straight line between the table's bores; beyond its ends the last row's length per bore."""
    return float(np.interp(bore_mm, *_per_bore(name))) * bore_mm


@cache
def _per_bore(name: str) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The table's bores of a fitting, mm, and its length at each, m per mm of bore."""
    found = [row for row in rows("equivalent_lengths") if row["fitting"] == name]
    bores = tuple(float(row["bore_in"]) * _MM_PER_IN for row in found)
    lengths = (float(row["length_ft"]) * _M_PER_FT for row in found)
    return bores, tuple(length / bore for length, bore in zip(lengths, bores, strict=True))


def _known(known: Mapping[str, Entry], name: str) -> Entry:
    if name not in known:
        raise OutOfRange(f"{name!r} is not in the table; it knows {', '.join(known)}.")
    return known[name]
