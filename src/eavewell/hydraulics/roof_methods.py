"""Sets of rules for roof drainage: each carries its own area, storm and capacities, unmixed."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal, cast

from eavewell.faults import OutOfRange
from eavewell.hydraulics.roof_area import (
    area_m2_en_12056,
    area_m2_pitch_factor,
    area_m2_plan_and_wall,
    pitch_or_usual,
)
from eavewell.site.gutter import Gutter
from eavewell.site.place import Show
from eavewell.tables import rows, sources

AreaRule = Literal["plan + wall", "pitch factor", "W + H/2", "plan"]
# What a designer takes by common practice where no authority asks for another set.
USUAL: dict[Show, str] = {"us": "sheet metal", "metric": "EN 12056-3"}
KEPT_FROM_MANURE = "gutter kept from manure"


@dataclass(frozen=True, slots=True)
class Method:
    """One row of tables/roof_drainage_methods.csv.

    storm  : purpose in tables/storm_purposes.csv.
    gutter, leader, drain : capacity rule, or the edition of a code table; "" for none.
    one_wall, two_walls   : share of a wall's area that counts, for one and for two adjoining.
    basis  : the source's title and place.
    """

    name: str
    area: AreaRule
    storm: str
    gutter: str
    leader: str
    drain: str
    one_wall: float
    two_walls: float
    basis: str

    def purpose(self, *, manure: bool) -> str:
        """The storm asked for; where water is kept from manure, the larger one."""
        return KEPT_FROM_MANURE if manure and self.storm == "gutter" else self.storm

    def wall_share(self, walls: int) -> float:
        """Share of the walls' area; three and four count as one wall does, on the safe side."""
        return self.two_walls if walls == 2 else self.one_wall


@cache
def methods() -> tuple[Method, ...]:
    """Every set of rules known."""
    return tuple(
        Method(
            row["name"],
            cast("AreaRule", row["area"]),
            storm=row["storm"],
            gutter=row["gutter"],
            leader=row["leader"],
            drain=row["drain"],
            one_wall=float(row["one_wall"]),
            two_walls=float(row["two_walls"]),
            basis=_basis(row),
        )
        for row in rows("roof_drainage_methods")
    )


def method_called(name: str) -> Method:
    """The set of rules of that name; OutOfRange for one the table does not know."""
    known = {method.name: method for method in methods()}
    if name not in known:
        raise OutOfRange(f"No roof drainage rules {name!r}; known are {', '.join(known)}.")
    return known[name]


def _basis(row: Mapping[str, str]) -> str:
    source = sources()[row["source"]]
    title = "common practice, no source" if source["mark"] == "common practice" else source["title"]
    return f"{title}: {row['place']}"


def counted_area_m2(
    gutter: Gutter, *, plan_area_m2: float, pitch: float | None, method: Method
) -> float:
    """Area that drains to a gutter as a set of rules counts it, walls included."""
    wall_m2 = gutter.wall_m2 * method.wall_share(gutter.walls)
    if method.area == "pitch factor":
        return wall_m2 + area_m2_pitch_factor(plan_area_m2, pitch_or_usual(pitch))
    if method.area == "W + H/2":
        return wall_m2 + area_m2_en_12056(plan_area_m2, pitch_or_usual(pitch))
    share = method.wall_share(gutter.walls)
    return area_m2_plan_and_wall(plan_area_m2, wall_m2=gutter.wall_m2, wall_share=share)
