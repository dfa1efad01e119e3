"""What a builder must measure before building: everything that is unknown, assumed or arranged."""

from collections.abc import Iterator

from eavewell.drawings.plan_places import building_distance, places, property_distance_m
from eavewell.hydraulics.levels import schedule
from eavewell.hydraulics.pipe_tree import fall_of, pipe_tree
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Overflow
from eavewell.site.traced import Traced


def field_verify(site: Site) -> tuple[str, ...]:
    """A first-day checklist in the order of flow, one line a dimension."""
    traced = site.traced or Traced()
    return (
        *(() if traced.north_deg is not None else ("north: assumed up on the plan",)),
        *(f"{one.thing}: level of {one.point}" for one in schedule(site) if one.level_m is None),
        *(line for roof in site.roofs for line in _of_roof(site, roof)),
        *_of_runs(site, traced),
        *(line for tank in site.tanks for line in _of_tank(site, tank)),
        *(line for lift in site.lifts for line in _of_lift(lift.name, lift.riser is None)),
        *(f"line {line.name!r}: its way; only its length is known" for line in site.lines),
    )


def _of_roof(site: Site, roof: Roof) -> Iterator[str]:
    name = f"roof {roof.name!r}"
    for ground in places(site).roofs[roof.name]:
        if not ground.known:
            part = "" if ground.plane.name in ("", roof.name) else f", {ground.plane.name}"
            yield f"{name}{part}: shape and sides; only its area is known"
    if roof.drains_to and roof.pitch is None:
        yield f"{name}: slope"
    for gutter in roof.gutters:
        if gutter.fall is None:
            yield f"{name}, gutter {gutter.name!r}: fall"
        if gutter.depth_mm is None and gutter.shape != "half-round":
            yield f"{name}, gutter {gutter.name!r}: depth"
        if gutter.downspout is None:
            yield f"{name}, gutter {gutter.name!r}: size of its downspouts"
    if roof.first_flush is not None and roof.first_flush.bore_mm is None:
        yield f"{name}: bore and length of the first-flush standpipe"
    piped = {carried for run in site.runs for carried in run.carries}
    if roof.drains_to and roof.name not in piped:
        yield f"{name}: pipe to {roof.drains_to!r}, its size, length and fall"


def _of_runs(site: Site, traced: Traced) -> Iterator[str]:
    tree, set_out = pipe_tree(site), dict(traced.pipes)
    for run in site.runs:
        name = f"pipe {run.name!r}"
        if not run.held_full and run in tree.runs and fall_of(tree, run) is None:
            yield f"{name}: fall"
        if run.cover_m is None:
            yield f"{name}: soil over it"
        if run.name not in set_out:
            yield f"{name}: its way; only its length is known"


def _of_tank(site: Site, tank: Tank) -> Iterator[str]:
    name, over = f"{'sump' if tank.is_sump else 'tank'} {tank.name!r}", tank.fittings.overflow
    if tank.shape is None:
        yield f"{name}: diameter or sides, and height"
    if property_distance_m(tank) is None:
        yield f"{name}: distance to the property line"
    if building_distance(tank, site.roofs) is None:
        yield f"{name}: distance to the building"
    if tank.outlet_m is None:
        yield f"{name}: height of the outlet above its floor"
    if tank.overflow_to not in {one.name for one in site.tanks}:
        yield from _let_go(name, over)
    base = tank.stands_on
    if base is None and tank.burial is None and not tank.is_sump:
        yield f"{name}: base under it"
    if base is not None and not base.soil:
        yield f"{name}: soil under its base"


def _let_go(name: str, over: Overflow | None) -> Iterator[str]:
    if over is None or over.away_m is None:
        yield f"{name}: distance from the building to where the overflow lets go"
    if over is None or over.end_m is None:
        yield f"{name}: level where the overflow lets go"
    if over is None or over.air_break_m is None:
        yield f"{name}: free air under the end of the overflow"


def _of_lift(name: str, unstated: bool) -> Iterator[str]:
    if unstated:
        yield f"lift {name!r}: size and length of its pipe"
