"""The map of a district in squares so wide that none tells a house, and as GeoJSON (RFC 7946)."""

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from eavewell.district.grouped import few, smallest_group
from eavewell.tables import table

if TYPE_CHECKING:
    import polars

KM_DEGREE = 111.195
# sides tried, in steps of the coarse net; counts told, each up to the next; steps of a share
_SIDES = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000, 20_000)
_COUNTS = (5, 10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000, 100_000)
_SHARES = 20
# more side by side could not be told apart on a sheet
_MOST_ACROSS = 40


@dataclass(frozen=True, slots=True)
class Square:
    """One square by its edges in degrees.

    roofs : in words, never to one. supplied_share : of a mean roof, to a twentieth.
    """

    west: float
    south: float
    east: float
    north: float
    roofs: str
    supplied_share: float


@dataclass(frozen=True, slots=True)
class Squares:
    """The squares of a district at one tank size, from the south-west on.

    side_deg : of a square. high_km, wide_km : the same where the district lies.
    left_off : roofs in squares of too few, in words; "" for none. Such a square is not there, as
    it would tell that somebody is.
    """

    size_l: float
    side_deg: float
    high_km: float
    wide_km: float
    squares: tuple[Square, ...]
    left_off: str = ""


def squares_of(places: "polars.DataFrame", *, size_l: float) -> Squares:
    """The narrowest squares that still tell most of the roofs.

    places : roofs by their place on the coarse net, as `places_at` finds them. Counts and shares
    are told in steps, so that no square taken from a line of the roll-up tells a roof.
    """
    import polars

    step = table("district")["coarse place"].value
    mine = places.with_columns(
        (polars.col("near_latitude") / step).round().cast(polars.Int64).alias("row"),
        (polars.col("near_longitude") / step).round().cast(polars.Int64).alias("column"),
    )
    found, side = _narrowest(mine)
    middle = float((mine["near_latitude"] * mine["roofs"]).sum()) / float(mine["roofs"].sum())
    wide_km = side * step * KM_DEGREE * math.cos(math.radians(middle))
    told = found.filter(found["roofs"] >= smallest_group())
    squares = tuple(_square(one, side=side, step=step) for one in told.to_dicts())
    left = int(found["roofs"].sum()) - int(told["roofs"].sum())
    left_off = in_steps(left) if left else ""
    return Squares(size_l, side * step, side * step * KM_DEGREE, wide_km, squares, left_off)


def _narrowest(mine: "polars.DataFrame") -> "tuple[polars.DataFrame, int]":
    least = table("district")["roofs on the map"].value * float(mine["roofs"].sum())
    for side in _SIDES:
        found = _gathered(mine, side)
        told = float(found.filter(found["roofs"] >= smallest_group())["roofs"].sum())
        if told >= least and _across(found) <= _MOST_ACROSS:
            break
    return found, side


def _across(found: "polars.DataFrame") -> int:
    """Squares side by side, in the longer direction."""
    spans = [found[name].to_numpy() for name in ("row", "column")]
    return max(int(one.max() - one.min()) + 1 for one in spans)


def _gathered(mine: "polars.DataFrame", side: int) -> "polars.DataFrame":
    import polars

    places = [
        (polars.col(name) + side // 2).floordiv(side).alias(name) for name in ("row", "column")
    ]
    return (
        mine.with_columns(*places)
        .group_by("row", "column")
        .agg(polars.col("roofs").sum(), polars.col("supplied_share").sum())
        .sort("row", "column")
    )


def _square(one: Mapping[str, Any], *, side: int, step: float) -> Square:
    roofs, half = int(one["roofs"]), 0.5
    south = (one["row"] * side - side // 2 - half) * step
    west = (one["column"] * side - side // 2 - half) * step
    share = round(one["supplied_share"] / roofs * _SHARES) / _SHARES
    return Square(
        west=_degrees(west, 180.0),
        south=_degrees(south, 90.0),
        east=_degrees(west + side * step, 180.0),
        north=_degrees(south + side * step, 90.0),
        roofs=in_steps(roofs),
        supplied_share=share,
    )


def _degrees(value: float, most: float) -> float:
    return round(min(max(value, -most), most), 6)


def in_steps(roofs: int) -> str:
    """A number of roofs in words, such as "20 to 49"."""
    if few(roofs):
        return f"fewer than {smallest_group()}"
    known = [count for count in _COUNTS if count <= roofs]
    above = _COUNTS[len(known)] if len(known) < len(_COUNTS) else None
    return f"{known[-1]:,} to {above - 1:,}" if above else f"{known[-1]:,} or more"


def geojson(found: Squares, *, name: str, says: Sequence[str]) -> str:
    """The squares as a FeatureCollection in degrees, outer rings against the clock."""
    features = [_feature(one, found) for one in found.squares]
    told = {"type": "FeatureCollection", "name": name, "says": list(says), "features": features}
    return json.dumps(told, ensure_ascii=False, indent=1) + "\n"


def _feature(one: Square, found: Squares) -> dict[str, Any]:
    west, south, east, north = one.west, one.south, one.east, one.north
    ring = [[west, south], [east, south], [east, north], [west, north], [west, south]]
    return {
        "type": "Feature",
        "geometry": {"type": "Polygon", "coordinates": [ring]},
        "properties": {
            "roofs": one.roofs,
            "tank_l": round(found.size_l, 1),
            "mean_supplied_share": one.supplied_share,
            "square_km": [round(found.wide_km, 1), round(found.high_km, 1)],
        },
    }
