"""Chlorine once, after work on a tank or a line: so much product for so much measured water."""

import math
from dataclasses import dataclass

from eavewell.site.line import Line
from eavewell.site.pipe import Pipe
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import table
from eavewell.treatment.chlorine import granules_g, product_ml

_FOR = ("drinking", "indoor", "animals")


@dataclass(frozen=True, slots=True)
class Measure:
    """One product with what a full and a half full tank take; mL, or g of granules."""

    product: str
    strength: float
    unit: str
    full: float
    half: float


@dataclass(frozen=True, slots=True)
class TankShock:
    """One tank, all of a row together.

    full_l : water at the overflow; what is really in it is measured on the day.
    """

    tank: str
    full_l: float
    mg_l: float
    wait_h: float
    measures: tuple[Measure, ...]


@dataclass(frozen=True, slots=True)
class LineFlush:
    """One line: what stands in its pipes, and what is run off to make it fresh."""

    line: str
    holds_l: float
    flush_l: float
    mg_l: float
    wait_h: float


@dataclass(frozen=True, slots=True)
class Shock:
    """Every tank and line whose water is drunk or used indoors."""

    tanks: tuple[TankShock, ...]
    lines: tuple[LineFlush, ...]


def shock_after_work(site: Site) -> Shock:
    """What each tank and line of a site takes."""
    stores = {name for use in site.uses if use.end_use in _FOR for name in use.draws_from}
    tanks = [tank for tank in site.tanks if tank.name in stores and tank.full_l > 0.0]
    lines = [
        line for line in site.lines if line.source in stores and (line.outlets or line.troughs)
    ]
    return Shock(tuple(_tank(tank) for tank in tanks), tuple(_line(line) for line in lines))


def _tank(tank: Tank) -> TankShock:
    rows = table("shock")
    mg_l = rows["tank"].value
    return TankShock(
        tank.name,
        tank.full_l,
        mg_l,
        rows["tank wait"].value,
        tuple(measures(tank.full_l, mg_l)),
    )


def measures(full_l: float, mg_l: float) -> list[Measure]:
    """Each usual product for a tank full and half full.

    full_l : measured water, L. mg_l : chlorine wanted, mg/L.
    """
    found = []
    for product, dose, unit in (
        ("household bleach", product_ml, "mL"),
        ("pool liquid", product_ml, "mL"),
        ("calcium hypochlorite", granules_g, "g"),
    ):
        strength = table("shock")[product].value
        full, half = (dose(part * full_l, mg_l, strength=strength) for part in (1.0, 0.5))
        found.append(Measure(product, strength, unit, full, half))
    return found


def _line(line: Line) -> LineFlush:
    rows, holds_l = table("shock"), line_holds_l(line)
    flush_l = rows["flush volumes"].value * holds_l
    return LineFlush(line.name, holds_l, flush_l, rows["line"].value, rows["line wait"].value)


def line_holds_l(line: Line) -> float:
    """What stands in the pipes of a line, the suction and every branch with them."""
    return sum(count * pipe_holds_l(pipe) for pipe, count in line.pipes)


def pipe_holds_l(pipe: Pipe) -> float:
    """What stands in one full pipe."""
    return math.pi / 4.0 * (pipe.bore_mm / 1000.0) ** 2 * pipe.length_m * 1000.0
