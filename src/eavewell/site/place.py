"""Where the system stands."""

from dataclasses import dataclass
from typing import Literal

Show = Literal["us", "metric"]


@dataclass(frozen=True, slots=True)
class Place:
    """A point on the map; the coordinates set the sun and the distance to a rain station.

    latitude, longitude : degrees, north and east positive; None where unknown.
    elevation_m         : above sea level; None where unknown.
    show                : how pages and papers print, "us" or "metric".
    """

    latitude: float | None = None
    longitude: float | None = None
    elevation_m: float | None = None
    show: Show = "us"
