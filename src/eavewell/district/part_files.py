"""The results of a part: two parquet files, written beside and renamed."""

import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np

from eavewell.district.balance import Screened
from eavewell.district.blocks import PARQUET
from eavewell.district.parts_of_work import Asked, Part
from eavewell.district.prices import Prices
from eavewell.district.roof_rows import Roofs
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table

ROOFS, SIZES = "roofs", "sizes"
_OURS = re.compile(r"part-\d{5}-[0-9a-f]{16}\.parquet")
_BEGUN = re.compile(r"\.part-.*\.new")


def file_of(out: Path, kind: str, *, name: str) -> Path:
    """The file of a part; kind : "roofs", one row a roof, or "sizes", one a roof and size."""
    return out / kind / f"{name}.parquet"


def is_done(out: Path, part: Part) -> bool:
    """Whether both files of a part are there: each took its name when it was whole.

    One that was cut off since is not.
    """
    return all(_is_whole(file_of(out, kind, name=part.name)) for kind in (ROOFS, SIZES))


def _is_whole(path: Path) -> bool:
    try:
        with path.open("rb") as opened:
            opened.seek(-len(PARQUET), os.SEEK_END)
            return opened.read() == PARQUET
    except OSError:
        return False


def write_part(asked: Asked, part: Part, *, found: Screened, prices: dict[str, Prices]) -> None:
    """Write both files of a part."""
    _write(file_of(asked.out, ROOFS, name=part.name), roof_columns(asked, part, found=found))
    sizes = size_columns(asked, part, found=found, prices=prices)
    _write(file_of(asked.out, SIZES, name=part.name), sizes)


def _write(path: Path, columns: dict[str, Any]) -> None:
    import polars

    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}.new")
    polars.DataFrame(columns, nan_to_null=True).write_parquet(beside, compression="zstd")
    beside.replace(path)


def roof_columns(asked: Asked, part: Part, *, found: Screened) -> dict[str, Any]:
    """What is told of a roof at every size; no more of its place than the quarter it lies in."""
    roofs = part.roofs
    return {
        "row": roofs.row,
        "id": roofs.id.tolist(),
        "district": roofs.district.tolist(),
        "use_set": roofs.use_set.tolist(),
        "finish": roofs.finish.tolist(),
        "area_m2": roofs.area_m2,
        "near_latitude": coarse(roofs.latitude),
        "near_longitude": coarse(roofs.longitude),
        "record": [part.gauge.name] * roofs.count,
        "record_km": rough_km(part.distance_km),
        "height_m": np.round(part.height_m),
        "inflow_l_year": found.inflow_l_year[:, 0],
        "wanted_l_year": found.wanted_l_year[:, 0],
        "smallest_l": smallest_l(asked.district.sizes_l, found),
    }


def coarse(degrees: FloatArray) -> FloatArray:
    """The nearest corner of a net of tables/district.csv."""
    step = table("district")["coarse place"].value
    return np.round(np.round(degrees / step) * step, 6)


def rough_km(distance_km: FloatArray) -> FloatArray:
    """Distances to the step of tables/district.csv, so that none tells the house."""
    step = table("district")["coarse distance"].value
    return np.round(distance_km / step) * step


def rough_m(height_m: FloatArray) -> FloatArray:
    """Heights to the step of tables/district.csv, for the same reason."""
    step = table("district")["coarse height"].value
    return np.round(height_m / step) * step


def smallest_l(sizes_l: tuple[float, ...], found: Screened) -> FloatArray:
    """Smallest size tried that reaches every goal, [roof]; NaN where none does."""
    first = found.reaches.argmax(axis=1)
    return np.where(found.reaches.any(axis=1), np.array(sizes_l)[first], np.nan)


def size_columns(
    asked: Asked, part: Part, *, found: Screened, prices: dict[str, Prices]
) -> dict[str, Any]:
    """What is told of a roof at each size, the sizes of one roof below one another."""
    sizes = len(asked.district.sizes_l)
    roofs = part.roofs
    return {
        "row": np.repeat(roofs.row, sizes),
        "id": np.repeat(roofs.id, sizes).tolist(),
        "size_l": np.tile(asked.district.sizes_l, roofs.count),
        "supplied_share": found.supplied_share.ravel(),
        "days_met_share": found.days_met_share.ravel(),
        "dry_days_in_worst_spell": found.dry_days.ravel(),
        "reaches_goal": found.reaches.ravel(),
        "supplied_l_year": found.supplied_l_year.ravel(),
        "spilled_l_year": found.spilled_l_year.ravel(),
        "kept_l_year": found.kept_l_year.ravel(),
        "make_up_l_year": found.make_up_l_year.ravel(),
        **_money(roofs, found, prices=prices),
    }


def _money(roofs: Roofs, found: Screened, *, prices: dict[str, Prices]) -> dict[str, FloatArray]:
    """First money and the even sum a year, typical with their range; NaN where nothing is told."""
    columns = {
        f"{what}{end}": np.full(found.supplied_share.shape, np.nan)
        for what in ("first_cost", "yearly_cost")
        for end in ("", "_low", "_high")
    }
    for use_set, price in prices.items():
        mine = np.flatnonzero(roofs.use_set == use_set)
        if not mine.size or not price.told:
            continue
        mains = price.mains(found.make_up_l_year[mine])
        for end, name in (("", "typical"), ("_low", "low"), ("_high", "high")):
            columns[f"first_cost{end}"][mine] = [getattr(band, name) for band in price.first]
            yearly = np.array([getattr(band, name) for band in price.yearly])
            columns[f"yearly_cost{end}"][mine] = yearly + mains
    return {name: column.ravel() for name, column in columns.items()}


def sweep(out: Path, parts: Iterable[Part]) -> None:
    """Take away what broken runs began, and parts of questions that were asked before."""
    wanted = {file_of(out, kind, name=part.name) for part in parts for kind in (ROOFS, SIZES)}
    for kind in (ROOFS, SIZES):
        for file in (out / kind).glob("record=*/*"):
            stale = _OURS.fullmatch(file.name) and file not in wanted
            if stale or _BEGUN.fullmatch(file.name):
                file.unlink(missing_ok=True)
        for folder in (out / kind).glob("record=*"):
            if folder.is_dir() and not any(folder.iterdir()):
                folder.rmdir()
