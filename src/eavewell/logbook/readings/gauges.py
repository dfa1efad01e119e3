"""The gauges of a site: those its file describes, and those that everybody has."""

from eavewell.faults import BadLog
from eavewell.files.site.field_values import near
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site

RAIN = "rain"
BY_HAND = ("stick", "sight tube", "float rod", "unknown")


def gauges_of(site: Site) -> tuple[Gauge, ...]:
    """Gauges as described, then a stick for each tank that no hand reads, and a rain gauge.

    The stick has the name of its tank and the rain gauge is called "rain"; where a described gauge
    has that name already, it is the one.
    """
    stated = site.log.gauges
    taken = {one.name for one in stated}
    read_by_hand = {one.of for one in stated if one.measures == "level" and one.how in BY_HAND}
    sticks = tuple(
        Gauge(tank.name, "level", of=tank.name, how="stick")
        for tank in site.tanks
        if not tank.is_sump and tank.name not in read_by_hand | taken
    )
    measured = any(one.measures == "rain" for one in stated) or RAIN in taken
    rain = () if measured else (Gauge(RAIN, "rain", how="rain gauge"),)
    return (*stated, *sticks, *rain)


def gauge_called(site: Site, name: str) -> Gauge:
    """The gauge of that name; BadLog where there is none."""
    gauges = {one.name: one for one in gauges_of(site)}
    if name not in gauges:
        raise BadLog(f"There is no gauge '{name}': {near(name, tuple(gauges))}")
    return gauges[name]
