"""What tanks and pipes do to the water, and the water to them: soft water, warm water."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import rows, table

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


@dataclass(frozen=True, slots=True)
class TankDoubt:
    """A tank that stands against drinking.

    allowed : "no", "unknown" where its material is, "ask" where only its maker can answer.
    """

    tank: str
    allowed: Literal["no", "unknown", "ask"]
    why: str
    find_out: str


def tank_doubts(site: Site, names: Iterable[str]) -> tuple[TankDoubt, ...]:
    """What the materials of these tanks say against drinking, by tables/tank_fitness.csv."""
    wanted = set(names)
    found = (_tank_doubt(tank) for tank in site.tanks if tank.name in wanted)
    return tuple(one for one in found if one is not None)


def _tank_doubt(tank: Tank) -> TankDoubt | None:
    row = _tank_row(tank.material)
    if row is None:
        told = f"{tank.material} is not known here" if tank.material else "material unknown"
        return TankDoubt(tank.name, "unknown", told, "what touches the water in it")
    if row["allowed"] == "no":
        return TankDoubt(tank.name, "no", row["why"], "")
    if row["allowed"] == "yes" or tank.listed:
        return None
    return TankDoubt(tank.name, "ask", row["why"], row["find_out"])


def _tank_row(material: str) -> Mapping[str, str] | None:
    """The row whose words the material says; of several the gravest."""
    order = ("no", "ask", "yes")
    said = [
        row
        for row in rows("tank_fitness")
        if any(word in material.lower() for word in row["says"].split("|"))
    ]
    return min(said, key=lambda row: order.index(row["allowed"]), default=None)


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
