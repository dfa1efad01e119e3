"""The gauges of a district, and the nearest one to each roof."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from eavewell.district.blocks import Block, blocks, heading
from eavewell.district.roof_rows import HIGHEST_M, LOWEST_M, TURNED, BadRow, Roofs
from eavewell.faults import BadQuantity, BadRoofs, EavewellFault, Fault
from eavewell.files.rain.readers import read_rain
from eavewell.site.district import Gauge
from eavewell.site.rain_record import FloatArray, RainRecord
from eavewell.tables import table
from eavewell.units import read, show
from eavewell.weather.site_rain import great_circle_km

STATIONS = "stations.csv"
_ZARR = ("zarr.json", ".zgroup", ".zmetadata")
_TOGETHER = 4096


@dataclass(frozen=True, slots=True, eq=False)
class Assigned:
    """Roofs with their gauges, each of shape (roof,).

    gauge : number of the gauge. distance_km : to it. height_m : roof above it, NaN unknown.
    """

    roofs: Roofs
    gauge: NDArray[np.int64]
    distance_km: FloatArray
    height_m: FloatArray


def is_grid(records: Path) -> bool:
    """Whether it is gridded rain: a file, or a folder that Zarr has written."""
    return records.is_file() or any((records / name).exists() for name in _ZARR)


def gauges_of(folder: Path, *, unit: str = "") -> tuple[Gauge, ...]:
    """The gauges of a folder of daily records, by its stations.csv, else by their own places.

    Raises BadRoofs with every fault of the list.
    """
    if not folder.is_dir():
        raise BadRoofs(Fault("There is no folder of records here.", file=str(folder)))
    listed = folder / STATIONS
    if listed.is_file():
        return _listed(listed, folder)
    found = [gauge for path in _records(folder) if (gauge := _own_place(path, unit)) is not None]
    if found:
        return tuple(found)
    says = (
        f"No record tells where it was measured: list them in {STATIONS} with the columns file, "
        "latitude, longitude and elevation_ft or elevation_m."
    )
    raise BadRoofs(Fault(says, file=str(folder)))


def _records(folder: Path) -> list[Path]:
    return sorted(
        path
        for path in folder.iterdir()
        if path.is_file() and path.name != STATIONS and not path.name.startswith(".")
    )


def _own_place(path: Path, unit: str) -> Gauge | None:
    try:
        record = read_rain(path, unit=unit)
    except EavewellFault:
        return None
    if record.latitude is None or record.longitude is None:
        return None
    return Gauge(record.name, str(path), record.latitude, record.longitude, record.elevation_m)


def _listed(path: Path, folder: Path) -> tuple[Gauge, ...]:
    """Every gauge of a list of stations; faults of all rows at once."""
    files = [one.name for one in _records(folder)]
    found: list[Gauge] = []
    faults: list[Fault] = []
    for block in blocks(path, example="file, latitude, longitude, elevation_ft"):
        for at in range(block.rows):
            try:
                found.append(_gauge(block, at, folder=folder, files=files))
            except EavewellFault as refused:
                says = f"row {block.first + at}: {refused.faults[0].says}"
                faults.append(Fault(says, file=str(path)))
    names = [gauge.name for gauge in found]
    faults += [
        Fault(f"{name!r} is listed twice.", file=str(path))
        for name in sorted({name for name in names if names.count(name) > 1})
    ]
    if faults:
        raise BadRoofs(faults)
    return tuple(found)


def _gauge(block: Block, at: int, *, folder: Path, files: Sequence[str]) -> Gauge:
    cells = {name: texts[at] for name, texts in block.columns.items()}
    named = cells.get("file") or cells.get("station", "")
    if not named:
        raise BadRoofs("name the file of the record in a column file, or its station.")
    file = named if named in files else next((f for f in files if f.startswith(named)), "")
    if not file:
        raise BadRoofs(f"there is no record {named!r} in {folder}.")
    return Gauge(
        name=cells.get("station") or file.split(".")[0],
        path=str(folder / file),
        latitude=_degrees(cells, ("latitude", "lat"), most=90.0),
        longitude=_degrees(cells, ("longitude", "lon", "lng"), most=180.0),
        elevation_m=_elevation_m(cells),
    )


def _degrees(cells: dict[str, str], names: tuple[str, ...], *, most: float) -> float:
    text = next((cells[name] for name in names if name in cells), "")
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not abs(value) <= most:
        raise BadRoofs(f"{names[0]} {text!r} is not a number of degrees within {most:g}.")
    return value


def _elevation_m(cells: dict[str, str]) -> float | None:
    for name, text in cells.items():
        if not name.startswith("elevation") or not text:
            continue
        unit = heading(name.removeprefix("elevation")).strip("_()[] ")
        try:
            elevation_m = read(f"{text} {unit}".strip(), "level")
        except BadQuantity as refused:
            raise BadRoofs(f"elevation: {refused.faults[0].says}") from None
        if not LOWEST_M <= elevation_m <= HIGHEST_M:
            raise BadRoofs(f"elevation {f'{text} {unit}'.strip()!r} is no place for a gauge.")
        return elevation_m
    return None


def assign(
    roofs: Roofs, gauges: Sequence[Gauge], *, within_km: float
) -> tuple[Assigned, tuple[BadRow, ...]]:
    """Give every roof the nearest gauge; a roof that has none within the distance is a bad row."""
    nearest = _nearest(roofs, gauges)
    distance = _distance_km(roofs, gauges, nearest=nearest)
    high = np.array([math.nan if g.elevation_m is None else g.elevation_m for g in gauges])
    near = distance <= within_km
    far = np.flatnonzero(~near)
    hints = _hints(roofs.at(far), gauges, within_km=within_km)
    bad = tuple(
        BadRow(
            int(roofs.row[at]),
            str(roofs.id[at]),
            _too_far(gauges[nearest[at]], distance[at]) + hint,
        )
        for at, hint in zip(far, hints, strict=True)
    )
    height = roofs.elevation_m - high[nearest]
    return Assigned(roofs.at(near), nearest[near], distance[near], height[near]), bad


def _distance_km(
    roofs: Roofs, gauges: Sequence[Gauge], *, nearest: NDArray[np.int64]
) -> FloatArray:
    pairs = zip(roofs.latitude.tolist(), roofs.longitude.tolist(), nearest.tolist(), strict=True)
    return np.array(
        [
            great_circle_km(
                lat, lon, to_latitude=gauges[k].latitude, to_longitude=gauges[k].longitude
            )
            for lat, lon, k in pairs
        ],
        dtype=float,
    )


def _hints(far: Roofs, gauges: Sequence[Gauge], *, within_km: float) -> list[str]:
    """What may be wrong with places that are far from every gauge, [roof]; "" for nothing known."""
    turned = np.abs(far.longitude) <= 90.0
    others = (
        (TURNED, np.where(turned, far.longitude, 0.0), np.where(turned, far.latitude, 0.0)),
        ("is the sign of the longitude right?", far.latitude, -far.longitude),
    )
    found = [""] * far.count
    for says, latitude, longitude in others:
        moved = replace(far, latitude=latitude, longitude=longitude)
        near = _distance_km(moved, gauges, nearest=_nearest(moved, gauges)) <= within_km
        found = [
            f"; {says}" if is_near and not told else told
            for told, is_near in zip(found, near, strict=True)
        ]
    return found


def _too_far(gauge: Gauge, distance_km: float) -> str:
    us = show(distance_km, "distance", system="us")
    return f"no record within the distance: the nearest, {gauge.name}, is {us} away"


def _nearest(roofs: Roofs, gauges: Sequence[Gauge]) -> NDArray[np.int64]:
    """Number of the gauge with the shortest straight line through the earth to each roof."""
    places = np.array([(gauge.latitude, gauge.longitude) for gauge in gauges], dtype=float)
    posts = _on_sphere(places[:, 0], places[:, 1])
    found = np.zeros(roofs.count, dtype=np.int64)
    for first in range(0, roofs.count, _TOGETHER):
        part = slice(first, first + _TOGETHER)
        here = _on_sphere(roofs.latitude[part], roofs.longitude[part])
        found[part] = (here @ posts.T).argmax(axis=1)
    return found


def _on_sphere(latitude: FloatArray, longitude: FloatArray) -> FloatArray:
    lat, lon = np.radians(latitude), np.radians(longitude)
    return np.stack([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)], axis=1)


def record_at(gauge: Gauge, *, unit: str = "") -> RainRecord:
    """Read the record of a gauge, as measured where the list says."""
    from eavewell.district.grid import cell_record

    record = cell_record(gauge) if gauge.cell is not None else read_rain(gauge.path, unit=unit)
    elevation_m = record.elevation_m if gauge.elevation_m is None else gauge.elevation_m
    return replace(
        record,
        name=gauge.name,
        latitude=gauge.latitude,
        longitude=gauge.longitude,
        elevation_m=elevation_m,
    )


def usual_distance_km() -> float:
    """Beyond this a station is far."""
    return table("rain_limits")["far_station"].value
