"""A precipitation-frequency table as NOAA's server hands it out, read into a StormTable."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from eavewell.faults import BadRecord, Fault
from eavewell.files.plain_file import plain_bytes
from eavewell.site.rain_record import FloatArray
from eavewell.site.storm_table import StormTable

_LARGEST_BYTES = 1_000_000
_MM_PER = {"inches": 25.4, "inch": 25.4, "in": 25.4, "millimeters": 1.0, "millimetres": 1.0}
_MM_PER |= {"mm": 1.0, "inches/hour": 25.4, "millimeters/hour": 1.0, "mm/h": 1.0, "in/h": 25.4}
_MINUTES = {"min": 1.0, "hr": 60.0, "day": 1440.0}
_BOUNDS = {"UPPER BOUND": "high", "LOWER BOUND": "low"}


@dataclass(frozen=True, slots=True)
class _Block:
    years: tuple[float, ...]
    rows: Mapping[float, tuple[float, ...]]


def read_storm_table(path: Path | str) -> StormTable:
    """Read a table in the layout of NOAA Atlas 14, depths or intensities, with or without bounds.

    Raises BadRecord in a sentence for anything else.
    """
    file = Path(path)
    lines = _lines(file)
    head = _head(lines)
    per_unit = _MM_PER.get(head.get("unit", ""))
    blocks = _blocks(lines, name=str(file))
    if per_unit is None or "mean" not in blocks:
        raise _bad(file, "This is no table of storms: bring in NOAA's csv of one place.")
    intensity = "intensity" in head.get("data type", "").lower()
    mean = blocks["mean"]
    minutes = tuple(mean.rows)

    def depths(which: str) -> FloatArray | None:
        if which not in blocks:
            return None
        return _depths(blocks[which], minutes, per_unit=per_unit, intensity=intensity, file=file)

    depth_mm = depths("mean")
    assert depth_mm is not None
    _check(depth_mm, file)
    return StormTable(
        place=_place(head),
        document=head.get("document", ""),
        minutes=minutes,
        years=mean.years,
        depth_mm=depth_mm,
        low_mm=depths("low"),
        high_mm=depths("high"),
        partial="partial" in head.get("time series type", "partial").lower(),
        latitude=_degrees(head.get("latitude")),
        longitude=_degrees(head.get("longitude")),
    )


def _lines(file: Path) -> list[str]:
    try:
        if file.stat().st_size > _LARGEST_BYTES:
            raise _bad(file, "The file is far too large for a table of storms.")
        data = plain_bytes(file)
    except (OSError, ValueError):
        raise _bad(file, "There is no table of storms here to read.") from None
    # the degree sign of these files is not UTF-8; no other letter matters
    return data.decode("utf-8-sig", errors="replace").splitlines()


def _head(lines: list[str]) -> dict[str, str]:
    head: dict[str, str] = {}
    for line in lines[:20]:
        if found := re.search(r"estimates \(([A-Za-z/]+)\)", line):
            head["unit"] = found[1].lower()
        elif line.startswith("NOAA Atlas"):
            head["document"] = line.strip().rstrip(",")
        elif ":" in line:
            key, _, value = line.partition(":")
            head[key.strip().lower()] = value.strip().rstrip(",")
    return head


def _place(head: Mapping[str, str]) -> str:
    named = (head.get(key, "") for key in ("location name (esri maps)", "station name"))
    known = [name for name in named if name and name not in ("None", "-")]
    coordinates = (_degrees(head.get("latitude")), _degrees(head.get("longitude")))
    where = ", ".join(f"{degrees:g}" for degrees in coordinates if degrees is not None)
    return known[0] if known else where


def _degrees(text: str | None) -> float | None:
    found = re.match(r"-?[0-9]+(?:\.[0-9]+)?", text or "")
    return float(found[0]) if found else None


def _blocks(lines: list[str], *, name: str) -> dict[str, _Block]:
    found: dict[str, _Block] = {}
    which = "mean"
    years: tuple[float, ...] = ()
    rows: dict[float, tuple[float, ...]] = {}
    for number, line in enumerate(lines, start=1):
        if line.upper().startswith("PRECIPITATION FREQUENCY ESTIMATES"):
            which = next((word for key, word in _BOUNDS.items() if key in line.upper()), "mean")
        elif line.lower().startswith("by duration for"):
            years, rows = _numbers(line.partition(":")[2], name=name, line=number), {}
            found[which] = _Block(years, rows)
        elif years and (duration := re.match(r"([0-9]+)-(min|hr|day):", line)):
            values = _numbers(line.partition(":")[2], name=name, line=number)
            if len(values) != len(years):
                says = f"The row has {len(values)} values under {len(years)} return periods."
                raise BadRecord(Fault(says, file=name, line=number))
            rows[float(duration[1]) * _MINUTES[duration[2]]] = values
    return {which: block for which, block in found.items() if block.rows}


def _numbers(text: str, *, name: str, line: int) -> tuple[float, ...]:
    cells = [cell.strip() for cell in text.split(",") if cell.strip()]
    try:
        numbers = tuple(float(cell) for cell in cells)
    except ValueError:
        numbers = ()
    if not numbers or not all(0.0 < number < 1e5 for number in numbers):
        raise BadRecord(Fault("The row holds something else than numbers.", file=name, line=line))
    return numbers


def _depths(
    block: _Block,
    minutes: tuple[float, ...],
    *,
    per_unit: float,
    intensity: bool,
    file: Path,
) -> FloatArray:
    if tuple(block.rows) != minutes:
        raise _bad(file, "The bounds are given for other durations than the table itself.")
    depths = np.array([block.rows[duration] for duration in minutes]) * per_unit
    return depths * np.array(minutes)[:, None] / 60.0 if intensity else depths


def _check(depth_mm: FloatArray, file: Path) -> None:
    if depth_mm.shape[0] < 2 or depth_mm.shape[1] < 2:
        raise _bad(file, "The table has too few durations or return periods to read between.")
    if (np.diff(depth_mm, axis=1) <= 0).any() or (np.diff(depth_mm, axis=0) < 0).any():
        raise _bad(file, "Depths must rise with duration and return period, and here they do not.")


def _bad(file: Path, says: str) -> BadRecord:
    return BadRecord(Fault(says, file=str(file)))
