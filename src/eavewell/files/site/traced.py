"""The surveyed places from their part of the site file."""

from collections.abc import Sequence

from eavewell.files.site.parts import Part
from eavewell.site.traced import Corner, Traced, Tree
from eavewell.units import read


def traced_of(part: Part | None) -> Traced | None:
    """The places in m; None where the file has none."""
    if part is None:
        return None
    metre = read(f"1 {part['unit'] or 'm'}", "length")
    return Traced(
        north_deg=part["north"],
        property_m=_in_m(part["property"] or (), metre),
        tanks=tuple((one["of"] or "", _at_m(one, metre)) for one in part["tank"]),
        pipes=tuple((one["of"] or "", _in_m(one["way"] or (), metre)) for one in part["pipe"]),
        trees=tuple(
            Tree(one["name"] or "", _at_m(one, metre), one["across"]) for one in part["tree"]
        ),
    )


def _in_m(points: Sequence[Corner], metre: float) -> tuple[Corner, ...]:
    return tuple((x * metre, y * metre) for x, y in points)


def _at_m(part: Part, metre: float) -> Corner:
    return (part["x"] or 0.0) * metre, (part["y"] or 0.0) * metre
