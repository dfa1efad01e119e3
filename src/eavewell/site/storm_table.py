"""A table of storms: depth of rain by duration and return period."""

from dataclasses import dataclass

from eavewell.site.rain_record import FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class StormTable:
    """A precipitation-frequency table of one place.

    minutes  : durations, rising. years : return periods, rising.
    depth_mm : shape (duration, return period); low_mm, high_mm : bounds of the same shape, None
               where the table has none.
    partial  : True where all large storms are counted, False for the largest of each year only.
    document : the publication, as the table names it.
    """

    place: str
    document: str
    minutes: tuple[float, ...]
    years: tuple[float, ...]
    depth_mm: FloatArray
    low_mm: FloatArray | None = None
    high_mm: FloatArray | None = None
    partial: bool = True
    latitude: float | None = None
    longitude: float | None = None
