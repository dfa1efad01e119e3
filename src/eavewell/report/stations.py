"""Stations near a place."""

from collections.abc import Sequence

from eavewell.files.rain.station import Station
from eavewell.report.blocks import Block, paragraph, ruled
from eavewell.units import show


def station_page(stations: Sequence[Station]) -> list[Block]:
    """The stations as a table, nearest first, distances and heights in both systems."""
    if not stations:
        return [paragraph("No station with daily rain was found.")]
    rows = [
        (
            one.station,
            one.name,
            show(one.distance_km, "distance", system="us"),
            show(one.distance_km, "distance", system="metric"),
            "-" if one.elevation_m is None else show(one.elevation_m, "length", system="metric"),
            f"{one.first_year} to {one.last_year}",
        )
        for one in stations
    ]
    head = ("station", "name", "miles", "km", "height", "daily rain")
    return [
        ruled(head, rows, names=(0, 1)),
        paragraph("Bring one in: eavewell rain station NUMBER. Take the longest record nearby."),
    ]
