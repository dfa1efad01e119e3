"""What tanks and pipes do to the water, and the water to them: soft water, warm water."""

from dataclasses import dataclass

from eavewell.site.site import Site
from eavewell.tables import table

METALS = ("copper", "galvanised steel", "cast iron")


@dataclass(frozen=True, slots=True)
class Metal:
    """A line with metal pipes.

    pipes : the metals. neutralised : a neutraliser stands in it. concrete : a tank of concrete,
    whose lime takes the sourness away, feeds it.
    """

    line: str
    pipes: tuple[str, ...]
    neutralised: bool
    concrete: bool


@dataclass(frozen=True, slots=True)
class Warm:
    """A use that throws stored water into the air; warmest_c None where nobody measured."""

    where: str
    warmest_c: float | None


def metal_lines(site: Site) -> tuple[Metal, ...]:
    """Lines whose water touches metal pipe."""
    found = []
    for line in site.lines:
        metals = {pipe.material for pipe, _ in line.pipes} & set(METALS)
        if metals:
            tank = {one.name: one for one in site.tanks}.get(line.source)
            concrete = tank is not None and "concrete" in tank.material.lower()
            neutral = any(thing.kind == "neutraliser" for thing in line.in_line)
            found.append(Metal(line.name, tuple(sorted(metals)), neutral, concrete))
    return tuple(found)


def sprays(site: Site) -> tuple[Warm, ...]:
    """Showers and uses that throw water into the air."""
    showers = [
        f"line {line.name!r}"
        for line in site.lines
        if any("shower" in outlet.fixture for outlet in line.outlets)
    ]
    thrown = [f"use {use.name!r}" for use in site.uses if use.spray]
    return tuple(Warm(where, site.water.warmest_c) for where in (*showers, *thrown))


def soft_below_ph() -> float:
    """The pH below which rain eats metal pipe."""
    return table("water_chemistry")["least ph"].value


def legionella_c() -> tuple[float, float]:
    """Temperatures between which Legionella grows."""
    row = table("water_chemistry")["legionella"]
    return row.low, row.high
