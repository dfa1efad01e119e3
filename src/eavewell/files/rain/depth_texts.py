"""Depths and temperatures as people write them, read into numbers with what is known of each."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadQuantity, BadRecord, Fault
from eavewell.files.rain.record_text import RecordText
from eavewell.site.rain_record import FloatArray, Mark
from eavewell.tables import rows, table
from eavewell.units import read
from eavewell.weather.counted import counted

NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d{1,2})?", re.ASCII | re.IGNORECASE)
NOTHING = frozenset({"", "na", "n/a", "nan", "m", "-", "--", "null", "none", "missing", "."})
TRACE = frozenset({"t", "tr", "trace"})
MOST_FAULTS = 10


@dataclass(frozen=True, slots=True, eq=False)
class Depths:
    """Depths with their marks, shape (row,); NaN where missing."""

    rain_mm: FloatArray
    marks: NDArray[np.uint16]
    notes: tuple[str, ...] = ()


def mm_per(unit: str, file: str = "") -> float:
    """Millimetres in one `unit` as record files write it; BadRecord for an unknown unit."""
    bare = unit.strip().strip('"')
    services = {row["name"]: row["meaning"] for row in rows("record_units")}
    try:
        return read(services.get(bare.lower(), f"1 {bare}"), "depth")
    except BadQuantity:
        says = f'The depth unit {unit!r} is not known; say unit = "mm" or "in".'
        raise BadRecord(Fault(says, file=file)) from None


def numbers(
    text: RecordText, texts: Sequence[str], *, lines: Sequence[int], what: str
) -> FloatArray:
    """Read a column; blank, NA and M are NaN, a trace is 0; every unreadable cell is a fault."""
    known: dict[str, float] = {}
    for cell in set(texts):
        value = _number(cell)
        if value is not None:
            known[cell] = value
    if len(known) < len(set(texts)):
        wrong = [k for k, cell in enumerate(texts) if cell not in known]
        raise BadRecord(_unreadable(text, texts, lines=lines, what=what, wrong=wrong))
    return np.array([known[cell] for cell in texts], dtype=np.float64)


def traces(texts: Sequence[str]) -> NDArray[np.bool_]:
    """True where a cell says trace, shape (row,)."""
    return np.array([cell.strip().lower() in TRACE for cell in texts], dtype=bool)


def depths(values: FloatArray, mm_per_unit: float) -> Depths:
    """Turn numbers in the file's unit into mm; codes and negative depths become missing."""
    rain_mm = values * mm_per_unit
    marks = np.zeros(values.size, dtype=np.uint16)
    code = np.isin(values, _codes()) & (rain_mm > _largest_believed_mm())
    negative_code = np.isin(-values, _negative_codes())
    wrong = (code | (values < 0)) & ~negative_code
    marks[wrong] |= np.uint16(Mark.SUSPICIOUS)
    rain_mm[wrong | negative_code] = np.nan
    marks[np.isnan(rain_mm)] |= np.uint16(Mark.MISSING)
    return Depths(rain_mm, marks, _code_notes(values[wrong]))


def _code_notes(wrong: FloatArray) -> tuple[str, ...]:
    if wrong.size == 0:
        return ()
    shown = ", ".join(f"{value:g}" for value in np.unique(wrong)[:4])
    return (f"Taken as missing: {counted(wrong.size, 'reading')} that cannot be rain ({shown}).",)


def _number(cell: str) -> float | None:
    if NUMBER.fullmatch(cell):
        return float(cell)
    bare = cell.strip().strip('"').strip()
    low = bare.lower()
    if low in NOTHING:
        return float("nan")
    if low in TRACE:
        return 0.0
    return float(bare) if NUMBER.fullmatch(bare) else None


@cache
def _codes() -> FloatArray:
    return np.array([float(row["name"]) for row in rows("missing_codes")])


@cache
def _negative_codes() -> FloatArray:
    nines = [float(row["name"]) for row in rows("missing_codes")]
    return np.array([9.0, 99.0, 99.9, *nines])


@cache
def _largest_believed_mm() -> float:
    return table("rain_limits")["suspicious_day"].value


def _unreadable(
    text: RecordText, texts: Sequence[str], *, lines: Sequence[int], what: str, wrong: list[int]
) -> list[Fault]:
    faults = [
        Fault(
            f"{texts[k][:40]!r} is not a number; leave the cell empty where nothing was read.",
            where=what,
            file=text.name,
            line=lines[k],
        )
        for k in wrong[:MOST_FAULTS]
    ]
    if len(wrong) > MOST_FAULTS:
        faults.append(Fault(f"... and {len(wrong) - MOST_FAULTS} more.", what, text.name))
    return faults
