"""Gridded daily rain in NetCDF or Zarr: cells as gauges, each read only when it is needed."""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from eavewell.district.roof_rows import Roofs
from eavewell.faults import BadRecord, BadRoofs, Fault
from eavewell.site.district import Gauge
from eavewell.site.rain_record import FloatArray, Mark, RainRecord

# as files name them; the first that is there is taken
RAIN_NAMES = ("pr", "prcp", "precip", "precipitation", "rain", "rainfall", "rain_mm", "tp", "ppt")
_AIR_NAMES = {"tmax_c": ("tmax", "tasmax"), "tmin_c": ("tmin", "tasmin")}
_PLACE_NAMES = {
    "latitude": ("latitude", "lat", "y"),
    "longitude": ("longitude", "lon", "x"),
    "time": ("time", "day", "date"),
}
_DAY_S = 86_400.0
# written unit -> mm of a day
_DEPTHS = {
    **dict.fromkeys(("mm", "mm/day", "mm/d", "mm day-1", "mm d-1", "kg m-2", "kg/m2"), 1.0),
    **dict.fromkeys(("kg m-2 s-1", "kg/m2/s", "mm/s", "mm s-1"), _DAY_S),
    **dict.fromkeys(("m", "m/day", "m day-1"), 1000.0),
}
# Days times cells that are read together at most.
MOST_VALUES = 16_000_000
_KELVIN = ("k", "kelvin")


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """An open gridded file.

    names : what we call a thing -> what the file calls it.
    block : rows and columns that the file keeps together, and that are best read together.
    """

    data: Any
    names: dict[str, str]
    latitude: FloatArray
    longitude: FloatArray
    mm_each: float
    block: tuple[int, int]


@lru_cache(maxsize=2)
def open_grid(path: str) -> Grid:
    """Open a gridded file; nothing of its days is read yet. BadRoofs where it is none."""
    data = _opened(path)
    names = {
        ours: _named(data, theirs, path=path, what=ours) for ours, theirs in _PLACE_NAMES.items()
    }
    names["rain_mm"] = _named(data, RAIN_NAMES, path=path, what="daily rain")
    for ours, theirs in _AIR_NAMES.items():
        if found := _present(data, theirs):
            names[ours] = found
    _check_layout(data, names, path=path)
    latitude = np.asarray(data[names["latitude"]].values, dtype=float)
    longitude = np.asarray(data[names["longitude"]].values, dtype=float)
    return Grid(
        data=data,
        names=names,
        latitude=latitude,
        longitude=(longitude + 180.0) % 360.0 - 180.0,
        mm_each=_mm_each(data, names),
        block=_block(data[names["rain_mm"]], names),
    )


def _block(rain: Any, names: dict[str, str]) -> tuple[int, int]:
    """So many rows and columns as lie together in the file and fit into memory; else one cell."""
    kept = dict(zip(rain.dims, rain.encoding.get("chunksizes") or (), strict=False))
    kept = kept or dict(rain.encoding.get("preferred_chunks") or {})
    rows, columns = (int(kept.get(names[one], 1)) for one in ("latitude", "longitude"))
    days = int(rain.sizes[names["time"]])
    columns = max(1, min(columns, MOST_VALUES // days))
    return max(1, min(rows, MOST_VALUES // (days * columns))), columns


def _opened(path: str) -> Any:
    try:
        import xarray
    except ImportError:
        raise BadRoofs("Gridded rain needs more: pip install 'eavewell[grid]'.") from None
    try:
        if Path(path).is_dir():
            return xarray.open_zarr(path, chunks=None)
        return xarray.open_dataset(path)
    except (OSError, ValueError, KeyError, ImportError):
        says = (
            "The gridded rain cannot be opened: it must be NetCDF or Zarr, whole. Daily records of "
            "gauges are given as their folder."
        )
        raise BadRoofs(Fault(says, file=path)) from None


def _present(data: Any, theirs: tuple[str, ...]) -> str:
    by_small = {str(name).lower(): str(name) for name in data.variables}
    return next((by_small[name] for name in theirs if name in by_small), "")


def _named(data: Any, theirs: tuple[str, ...], *, path: str, what: str) -> str:
    found = _present(data, theirs)
    if not found:
        has = ", ".join(sorted(str(name) for name in data.variables))
        says = f"No variable tells the {what}: call it {theirs[0]}. There are: {has}."
        raise BadRoofs(Fault(says, file=path))
    return found


def _check_layout(data: Any, names: dict[str, str], *, path: str) -> None:
    places = {names[one] for one in _PLACE_NAMES}
    dims = {str(dim) for dim in data[names["rain_mm"]].dims}
    if dims != places:
        says = (
            f"The rain stands on {', '.join(sorted(dims))}: a grid of {', '.join(sorted(places))} "
            "with one latitude a row and one longitude a column is needed."
        )
        raise BadRoofs(Fault(says, file=path))
    unit = str(data[names["rain_mm"]].attrs.get("units", "")).strip().lower()
    if unit not in _DEPTHS:
        says = f"The unit of the rain is {unit!r}: it must be one of {', '.join(_DEPTHS)}."
        raise BadRoofs(Fault(says, file=path))


def _mm_each(data: Any, names: dict[str, str]) -> float:
    return _DEPTHS[str(data[names["rain_mm"]].attrs["units"]).strip().lower()]


def cells_of(path: Path, roofs: Roofs) -> tuple[Gauge, ...]:
    """The cells in which the roofs lie, as gauges at their middles, block by block of the file."""
    grid = open_grid(str(path))
    rows = _nearest(grid.latitude, roofs.latitude)
    columns = _nearest(grid.longitude, roofs.longitude)
    found = set(zip(rows.tolist(), columns.tolist(), strict=True))
    return tuple(
        Gauge(
            name=f"cell {row} {column}",
            path=str(path),
            latitude=float(grid.latitude[row]),
            longitude=float(grid.longitude[column]),
            cell=(row, column),
        )
        for row, column in sorted(found, key=lambda cell: (_corner(grid, cell), cell))
    )


def _corner(grid: Grid, cell: tuple[int, int]) -> tuple[int, int]:
    """First row and column of the block that the file keeps a cell in."""
    rows, columns = grid.block
    return cell[0] // rows * rows, cell[1] // columns * columns


def _nearest(axis: FloatArray, values: FloatArray) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    order = np.argsort(axis)
    middles = (axis[order][1:] + axis[order][:-1]) / 2.0
    return np.asarray(order[np.searchsorted(middles, values)], dtype=np.int64)


def cell_record(gauge: Gauge) -> RainRecord:
    """The daily record of one cell, read with its block. BadRecord where its days are none."""
    grid = open_grid(gauge.path)
    assert gauge.cell is not None
    corner = _corner(grid, gauge.cell)
    inside = (gauge.cell[0] - corner[0], gauge.cell[1] - corner[1])
    part = _cut(grid, _together(gauge.path, corner), at=inside, wide=(1, 1)).squeeze()
    days = _days(part[grid.names["time"]].values, path=gauge.path)
    rows = (days - days[0]).astype(int)
    rain_mm = _spread(part[grid.names["rain_mm"]].values, rows) * grid.mm_each
    rain_mm[rain_mm < 0.0] = np.nan
    marks = np.where(np.isnan(rain_mm), Mark.MISSING, Mark.MEASURED).astype(np.uint16)
    tmax_c, tmin_c = (_celsius(grid, part, name=name, rows=rows) for name in _AIR_NAMES)
    first: date = days[0].astype(object)
    return RainRecord(gauge.name, first, rain_mm, marks, tmax_c=tmax_c, tmin_c=tmin_c)


@lru_cache(maxsize=2)
def _together(path: str, corner: tuple[int, int]) -> Any:
    """All days of the cells that the file keeps together, read once for all of them."""
    grid = open_grid(path)
    ours = [name for name in ("rain_mm", *_AIR_NAMES) if name in grid.names]
    return _cut(
        grid, grid.data[[grid.names[one] for one in ours]], at=corner, wide=grid.block
    ).load()


def _cut(grid: Grid, data: Any, *, at: tuple[int, int], wide: tuple[int, int]) -> Any:
    places = (grid.names["latitude"], grid.names["longitude"])
    spans = zip(places, at, wide, strict=True)
    return data.isel({name: slice(first, first + count) for name, first, count in spans})


def _days(values: Any, *, path: str) -> Any:
    try:
        days = np.asarray(values).astype("datetime64[D]")
    except (TypeError, ValueError):
        days = np.zeros(0, dtype="datetime64[D]")
    if days.size < 2 or np.any(np.diff(days).astype(int) < 1):
        says = "The time of the grid is no calendar of days that rise one by one."
        raise BadRecord(Fault(says, file=path))
    return days


def _spread(values: Any, rows: Any) -> FloatArray:
    """Values on an unbroken calendar; NaN where the grid has no day."""
    spread = np.full(int(rows[-1]) + 1, np.nan)
    spread[rows] = np.asarray(values, dtype=float)
    return spread


def _celsius(grid: Grid, part: Any, *, name: str, rows: Any) -> FloatArray | None:
    if name not in grid.names:
        return None
    found = part[grid.names[name]]
    value = _spread(found.values, rows)
    kelvin = str(found.attrs.get("units", "")).strip().lower() in _KELVIN
    return value - 273.15 if kelvin else value
