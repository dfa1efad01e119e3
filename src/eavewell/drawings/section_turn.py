"""The turn of the things in a section: along the water from sky to tap, as they stand in it."""

from collections.abc import Iterator

from eavewell.site.site import Site
from eavewell.site.tank import Tank


def stores_in_turn(site: Site) -> tuple[Tank, ...]:
    """Sumps first, then the tanks from the lowest floor to the highest."""
    return tuple(sorted(site.tanks, key=lambda tank: (not tank.is_sump, tank.base_m or 0.0)))


def things_in_turn(site: Site) -> Iterator[str]:
    """What each mark of the section is of: roofs, pipes, then each store with what leaves it."""
    for roof in site.roofs:
        yield f"roof {roof.name}"
        yield from (f"screen {screen.name}" for screen in roof.screens)
    yield from (f"pipe {run.name}" for run in site.runs)
    for tank in stores_in_turn(site):
        yield f"tank {tank.name}"
        yield from (f"line {line.name}" for line in site.lines if line.source == tank.name)
        yield from (f"lift {lift.name}" for lift in site.lifts if lift.source == tank.name)
    yield "ground"
