"""Rain carried from the gauge to the site, by a factor that the user names and by no other."""

import math
from dataclasses import dataclass, replace

import numpy as np

from eavewell.faults import BadSite
from eavewell.site.place import Place
from eavewell.site.rain import Rain
from eavewell.site.rain_record import RainRecord
from eavewell.tables import table
from eavewell.units import show
from eavewell.weather.years import month_of_day


@dataclass(frozen=True, slots=True)
class FromSite:
    """Where a station lies from a site.

    height_m : positive where the site is higher; None where unknown, as is distance_km.
    """

    distance_km: float | None
    height_m: float | None

    @property
    def is_far(self) -> bool:
        """True beyond 15 miles or 500 ft (common practice, no source)."""
        limits = table("rain_limits")
        return (self.distance_km or 0.0) > limits["far_station"].value or abs(
            self.height_m or 0.0
        ) > limits["far_height"].value


def great_circle_km(
    latitude: float, longitude: float, *, to_latitude: float, to_longitude: float
) -> float:
    """Shortest way over the sphere between two points in degrees, by the haversine formula."""
    a, b = math.radians(latitude), math.radians(to_latitude)
    turn = math.radians(to_longitude - longitude)
    half = math.sin((b - a) / 2) ** 2 + math.cos(a) * math.cos(b) * math.sin(turn / 2) ** 2
    return 2.0 * table("rain_limits")["earth_radius"].value * math.asin(min(1.0, math.sqrt(half)))


def from_site(record: RainRecord, rain: Rain, *, place: Place | None = None) -> FromSite:
    """Distance and height of the gauge, as the user wrote them, else from the coordinates."""
    distance_km, height_m = rain.distance_km, rain.height_m
    if distance_km is None and place is not None:
        points = (place.latitude, place.longitude, record.latitude, record.longitude)
        known = [degrees for degrees in points if degrees is not None]
        if len(known) == 4:
            distance_km = great_circle_km(
                known[0], known[1], to_latitude=known[2], to_longitude=known[3]
            )
    if (
        height_m is None
        and place is not None
        and None not in (place.elevation_m, record.elevation_m)
    ):
        height_m = (place.elevation_m or 0.0) - (record.elevation_m or 0.0)
    return FromSite(distance_km, height_m)


def at_site(record: RainRecord, rain: Rain, *, place: Place | None = None) -> RainRecord:
    """Apply the user's monthly site_factor; never to a record made at the site.

    Where no factor is known the depths stay and a note says 'rain as at STATION'; an invented
    climate has no station.
    BadSite for a factor that is not twelve positive numbers.
    """
    if rain.at_site or record.at_site:
        return replace(record, at_site=True)
    if rain.site_factor is None and record.invented:
        return record
    if rain.site_factor is None:
        return replace(
            record,
            notes=(
                *record.notes,
                _as_at(record, from_site(record, rain, place=place), place=place),
            ),
        )
    factors = np.array(rain.site_factor, dtype=np.float64)
    if factors.shape != (12,) or not np.isfinite(factors).all() or (factors <= 0).any():
        raise BadSite("[rain] site_factor must be one positive number or twelve, January first.")
    says = f"Rain of {record.name} times the site factor {factors.min():g} to {factors.max():g}"
    note = says + (f", from {rain.factor_from}." if rain.factor_from else ", its origin not named.")
    months = month_of_day(record)
    return replace(
        record, rain_mm=record.rain_mm * factors[months - 1], notes=(*record.notes, note)
    )


def _as_at(record: RainRecord, where: FromSite, *, place: Place | None) -> str:
    system = place.show if place is not None else "us"
    distance = "distance unknown"
    if where.distance_km is not None:
        distance = f"{show(where.distance_km, 'distance', system=system)} away"
    height = "height unknown"
    if where.height_m is not None:
        side = "lower" if where.height_m >= 0 else "higher"
        unit = "ft" if system == "us" else "m"
        height = f"{show(abs(where.height_m), 'length', system=system, unit=unit)} {side}"
    return f"Rain as at {record.station or record.name}, {distance}, {height}; site factor unknown."
