"""Where things stand as they were surveyed: places on one sheet, from one point of the site."""

from dataclasses import dataclass

Corner = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Tree:
    """A tree; across_m : of its crown, None unknown."""

    name: str
    at_m: Corner
    across_m: float | None = None


@dataclass(frozen=True, slots=True)
class Traced:
    """What was set out on the sheet, in m along the base line and to its left.

    north_deg  : clockwise from the sheet's up to north; None unknown.
    property_m : corners of the property line in order.
    tanks      : the middle of each tank, or of the first of equal ones, by name.
    pipes      : the ways of collection pipes, by name.
    """

    north_deg: float | None = None
    property_m: tuple[Corner, ...] = ()
    tanks: tuple[tuple[str, Corner], ...] = ()
    pipes: tuple[tuple[str, tuple[Corner, ...]], ...] = ()
    trees: tuple[Tree, ...] = ()
