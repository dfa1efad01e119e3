"""Whether the roof that is counted reaches its gutters, and whether snow slides past them."""

import math
from collections.abc import Iterator

from eavewell.site.finding import COMMON, Finding
from eavewell.site.place import Show
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.tables import rows, table
from eavewell.units import show


def roof_edges_meet(site: Site, *, snow: bool) -> Iterator[Finding]:
    """Checks on roof and gutter: area on plan, planes without a gutter, snow that slides.

    snow : whether snow falls at the site.
    """
    for roof in site.roofs:
        if roof.gutters:
            yield from _areas(roof, site.place.show)
            if snow:
                yield from _slides(roof)
    guttered = any(roof.gutters for roof in site.roofs)
    bare = [roof.name for roof in site.roofs if not roof.gutters and roof.drains_to]
    if guttered and bare:
        names = ", ".join(repr(name) for name in bare)
        yield Finding(
            "gutters-unknown", "note", "eaves", f"Not checked: gutters of {names} unknown."
        )


def _areas(roof: Roof, system: Show) -> Iterator[Finding]:
    stated = [gutter.plan_area_m2 for gutter in roof.gutters]
    total, plan = sum(area or 0.0 for area in stated), roof.plan_area_m2
    near = table("eave_figures")["area difference"].value
    if total > plan * (1.0 + near) or (None in stated and total >= plan):
        yield _over(roof, total, system=system)
    elif None not in stated and total < plan * (1.0 - near):
        yield _under(roof, total, system=system)


def _over(roof: Roof, total_m2: float, *, system: Show) -> Finding:
    plan = show(roof.plan_area_m2, "area", system=system)
    slope_m2 = roof.plan_area_m2 * math.sqrt(1.0 + (roof.pitch or 0.0) ** 2)
    near = table("eave_figures")["area difference"].value
    slope = "; that is its slope area, on which no more rain falls" if roof.pitch else ""
    alike = abs(total_m2 - slope_m2) <= near * slope_m2
    return Finding(
        "gutter-area-over-plan",
        "fix",
        f"roof {roof.name!r}",
        f"Its gutters are said to drain more than the roof seen from above"
        f"{slope if alike else ''}.",
        measured=total_m2,
        limit=roof.plan_area_m2,
        unit="m2",
        source=COMMON,
        fix=f"share {plan} between its gutters, or correct the plan of the roof",
    )


def _under(roof: Roof, total_m2: float, *, system: Show) -> Finding:
    left = show(roof.plan_area_m2 - total_m2, "area", system=system)
    return Finding(
        "roof-without-gutter",
        "fix",
        f"roof {roof.name!r}",
        f"{left} of its plan reaches no gutter and is still counted as caught.",
        measured=total_m2,
        limit=roof.plan_area_m2,
        unit="m2",
        source=COMMON,
        fix=f"lead {left} more to a gutter, or leave those planes out of the roof that is caught",
    )


def _slides(roof: Roof) -> Iterator[Finding]:
    least = table("eave_figures")["slide pitch"].value
    slick = roof.finish in {row["name"] for row in rows("slick_finishes")}
    if not slick or roof.guards or (roof.pitch is not None and roof.pitch < least):
        return
    where = f"roof {roof.name!r}"
    if roof.guards is None:
        says = "Not checked: whether snow guards hold the snow on this slick roof unknown."
        yield Finding("snow-guards-unknown", "note", where, says)
        return
    yield Finding(
        "snow-slides-past-gutter",
        "watch",
        where,
        "Snow slides off a slick roof in one piece: it takes the gutter along and misses the tank.",
        source=COMMON,
        fix="snow guards above the gutter, or its outer lip below the line of the roof's slope",
    )
