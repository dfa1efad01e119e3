"""Whether the storms that the parts must carry are known."""

from collections.abc import Iterator

from eavewell.site.finding import Finding
from eavewell.site.site import Site
from eavewell.tables import sources
from eavewell.weather.design_storm import DesignStorms

TABLE = 'a table of the place\'s own storms from the national server: [storm] table = "FILE"'


def storm_known(site: Site, storms: DesignStorms) -> Iterator[Finding]:
    """Say how far the design storms can be trusted, where anything depends on them."""
    if not _asks(site) or storms.kind == "table":
        return
    if storms.kind == "unknown":
        yield Finding("storms-unknown", "note", "storms", f"Not checked: {storms.says}.", fix=TABLE)
        return
    yield Finding(
        "storms-by-ratios",
        "watch",
        "storms",
        f"Design storms come from {storms.says}: {_spread(storms)}.",
        source=sources()["storm_ratios_atlas14"]["title"],
        fix=TABLE,
    )


def _spread(storms: DesignStorms) -> str:
    rain = storms.intensity(5.0, 10.0)
    if rain is None:
        return "the range is wide"
    times = rain.high_mm_h / rain.low_mm_h
    return f"from low to high the 10-year 5-minute rain spans {times:.1f} times"


def _asks(site: Site) -> bool:
    gutters = any(roof.gutters for roof in site.roofs)
    ground = site.ground.area_m2 is not None or bool(site.ground.low_spots)
    sumps = any(tank.is_sump for tank in site.tanks)
    return gutters or bool(site.runs) or sumps or ground
