"""Roofs from their parts of the site file: plan areas, first flush, screens, snow."""

import math

from eavewell.files.site.gutters import gutter_of
from eavewell.files.site.parts import Part
from eavewell.site.first_flush import FirstFlush
from eavewell.site.outline import Corner, crossing, shoelace
from eavewell.site.roof import Plane, Roof, Sheds, Snow
from eavewell.site.screen import Screen
from eavewell.site.surface import Surface
from eavewell.tables import table
from eavewell.units import read, show, sides


def roof_of(part: Part) -> Roof:
    """A roof; faults where its area is given twice or not at all."""
    return Roof(
        name=part["name"] or "",
        planes=_planes(part),
        finish=part["finish"] or "",
        drains_to=part["drains_to"] or "",
        eave_m=part["eave"],
        first_flush=_first_flush(part["first_flush"]),
        screens=tuple(_screen(one) for one in part["screens"]),
        snow=_snow(part["snow"]),
        gutters=tuple(gutter_of(one) for one in part["gutter"]),
        pitch=part["slope"],
        guards=part["snow"]["guards"] if part["snow"] is not None else None,
        surface=_surface(part),
        sheds=_sheds(part),
    )


def _surface(part: Part) -> Surface:
    return Surface(
        flashing=part["flashing"] or "",
        paint=part["paint"] or "",
        treated_timber=part["treated_timber"],
        trees=part["trees"] or "unknown",
        birds=part["birds"] or "unknown",
        flue=part["flue"],
        panels=part["panels"],
        cleared=part["cleared"] or "",
    )


def _planes(part: Part) -> tuple[Plane, ...]:
    if part.one_of("plan", "area", "corners", "plane") != "plane":
        return (_plane(part, part["name"] or ""),)
    planes = []
    for row, one in enumerate(part["plane"]):
        one.one_of("plan", "area", "corners")
        planes.append(_plane(one, one["name"] or f"plane {row + 1}"))
    return tuple(planes)


def _plane(part: Part, name: str) -> Plane:
    outline = _outline(part)
    on_plan = bool(part["on_plan"] and outline and part["corners"])
    return Plane(name, _plan_area_m2(part), outline, on_plan)


def _plan_area_m2(part: Part) -> float:
    if "corners" in part.given:
        return _area_of_corners(part)
    return float(part["plan"] or part["area"] or 0.0)


def _outline(part: Part) -> tuple[Corner, ...]:
    """Corners in m: as given, or of the rectangle that the two sides of a plan make."""
    if part["corners"] and part["corners_unit"]:
        metre = read(f"1 {part['corners_unit']}", "length")
        return tuple((x * metre, y * metre) for x, y in part["corners"])
    if not part["plan"]:
        return ()
    across, up = sides(part.raw["plan"]) or (0.0, 0.0)
    return ((0.0, 0.0), (across, 0.0), (across, up), (0.0, up)) if across and up else ()


def _area_of_corners(part: Part) -> float:
    corners: tuple[Corner, ...] = part["corners"] or ()
    unit = part["corners_unit"]
    if "corners_unit" not in part.given:
        part.fault("the corners need a unit: add corners_unit = 'ft' or 'm'.", "corners")
    if not corners or not unit:
        return 0.0
    if len(corners) < 3:
        part.fault(f"{len(corners)} corners enclose nothing: give at least 3.", "corners")
        return 0.0
    if crossed := crossing(corners):
        part.fault(f"the outline crosses itself {crossed}: give the corners in order.", "corners")
        return 0.0
    area_m2 = shoelace(corners) * read(f"1 {unit}", "length") ** 2
    if not 0.01 <= area_m2 <= 1e6:
        part.fault(
            f"the corners enclose {show(area_m2, 'area', system='us')}: no such roof.", "corners"
        )
    return area_m2


def _screen(part: Part) -> Screen:
    return Screen(part["name"] or "", part["kept"] or 0.0, part["passes"], part["mesh"])


def _first_flush(part: Part | None) -> FirstFlush | None:
    if part is None:
        return None
    part.one_of("depth", "volume")
    return FirstFlush(
        depth_mm=part["depth"],
        volume_l=part["volume"],
        reset_dry_days=max(1, math.ceil(part["reset"] or 0.0)),
        bleed_l_h=part["bleed"] or 0.0,
        bore_mm=part["bore"],
        drain_l_h=part["drain"],
    )


def _sheds(part: Part) -> Sheds | None:
    share, low, high = (part[name] for name in ("sheds", "sheds_low", "sheds_high"))
    if share is None:
        if low is not None or high is not None:
            part.fault("a range of what it sheds needs the share itself: give sheds.", "sheds_low")
        return None
    low, high = (share if edge is None else edge for edge in (low, high))
    if not low <= share <= high:
        part.fault(
            f"sheds_low {low:g}, sheds {share:g} and sheds_high {high:g} must rise.", "sheds"
        )
    return Sheds(share, low, high)


def _snow(part: Part | None) -> Snow | None:
    if part is None:
        return None
    usual = table("snow")["catch_share"]
    caught = usual.value if part["catch"] is None else part["catch"]
    low = min(usual.low, caught) if part["catch_low"] is None else part["catch_low"]
    high = max(usual.high, caught) if part["catch_high"] is None else part["catch_high"]
    if not low <= caught <= high:
        part.fault(f"catch_low {low:g}, catch {caught:g} and catch_high {high:g} must rise.")
    return Snow(caught, low, high, part["drained"] or frozenset())
