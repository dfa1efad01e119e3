"""What is drawn on the sheet of the plan, measured and said."""

from typing import Any

from eavewell.files.site.tracing import Drawn
from eavewell.site.outline import crossing, right_angles, shoelace, side_lengths
from eavewell.site.place import Show
from eavewell.units import convert, show

LEAST_POINTS = {"plane": 3, "pipe": 2, "property": 2, "tank": 1, "tree": 1}
SHORTEST_M = 0.01


def measured(one: Drawn, system: Show) -> dict[str, Any]:
    """Area, lengths and right angles of one thing, and what is wrong with it."""
    sides_m = side_lengths(one.points_m, closed=one.closed and len(one.points_m) > 2)
    wrong = _wrong(one, sides_m)
    area_m2 = shoelace(one.points_m) if one.closed and not wrong else None
    length_m = sum(sides_m) if one.kind in ("pipe", "property") else None
    return {
        "area_m2": area_m2,
        "area": show(area_m2, "area", system=system, figures=4) if area_m2 else "",
        "sides": [show(side_m, "length", system=system) for side_m in sides_m],
        "length_m": length_m,
        "length": show(length_m, "length", system=system) if length_m else "",
        "right": list(right_angles(one.points_m)) if one.closed and not wrong else [],
        "says": wrong,
    }


def booked(one: Drawn, unit: str) -> list[list[str]]:
    """Its points as a surveyor books them: along, and so far left or right."""
    return [[_plain(x, unit), _offset(y, unit)] for x, y in one.points_m]


def _wrong(one: Drawn, sides_m: tuple[float, ...]) -> str:
    least, count = LEAST_POINTS[one.kind], len(one.points_m)
    if not count:
        return ""
    if count < least:
        short = f"{count} of the {least} points it needs at least"
        return f"{_called(one)} has {short}: add points, or take it off the sheet."
    if any(side_m < SHORTEST_M for side_m in sides_m):
        return f"{_called(one)} has the same point twice in a row: take one of them out."
    if one.closed and (crossed := crossing(one.points_m)):
        return f"{_called(one)}: the outline crosses itself {crossed}: put its points in order."
    return "" if not one.closed or shoelace(one.points_m) else f"{_called(one)} encloses nothing."


def _called(one: Drawn) -> str:
    if one.kind == "property":
        return "The property line"
    kind = "roof" if one.kind == "plane" else one.kind
    return f"{kind.capitalize()} '{one.of}'" if one.of else f"The {kind}"


def _plain(metres: float, unit: str) -> str:
    value = round(convert(metres, "length", unit=unit), 2 if unit == "ft" else 3)
    return f"{value + 0.0:g}" if abs(value) < 1e5 else f"{value:.2f}"


def _offset(metres: float, unit: str) -> str:
    far = _plain(abs(metres), unit)
    return "0" if far == "0" else f"{far} {'left' if metres > 0 else 'right'}"
