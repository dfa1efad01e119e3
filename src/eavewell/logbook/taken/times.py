"""Columns of dates and times as local times or instants."""

import re
from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from eavewell.faults import BadLog, BadRecord
from eavewell.files.rain.date_texts import dates_of
from eavewell.files.rain.record_text import RecordText
from eavewell.logbook.kept import Times
from eavewell.logbook.taken.cells import Cells

_ISO = re.compile(
    r"\d{4}-\d\d-\d\d(?P<sep>[T ])\d\d:\d\d(?P<s>:\d\d)?(?P<f>\.\d+)?(?P<off>Z|[+-]\d\d:?\d\d)?",
    re.ASCII,
)
_PARTS = (
    r"(?i)^(?P<date>.*?)(?:[T ,]+(?P<h>\d{1,2}):(?P<m>\d\d)(?::(?P<s>\d\d(?:\.\d+)?))?"
    r"(?:\s*(?P<half>[ap])\.?m\.?)?\s*(?P<off>Z|UTC|[+-]\d\d:?\d\d)?)?$"
)
CLOCK = re.compile(r"\d{1,2}:\d\d(:\d\d(\.\d+)?)?\s*([ap]\.?m\.?)?", re.ASCII | re.IGNORECASE)
_EPOCH_S, _EPOCH_MS = r"^1\d{9}(\.\d+)?$", r"^1\d{12}$"
_MINUTE, _HOUR, _DAY = 60_000, 3_600_000, 86_400_000


@dataclass(frozen=True, slots=True, eq=False)
class Stamps:
    """Times of rows: datetime64[ms], shape (row,); NaT where a row has none.

    local : True where the time is the clock's at the place, else it is universal.
    days_only : True where no row tells a time of day, and `hour` was taken.
    """

    at: Times
    local: NDArray[np.bool_]
    days_only: bool = False


def stamps_of(cells: Cells, date: int, *, clock: int | None, hour: float) -> Stamps:
    """Read the times of a file's rows from its date column, and its column of the clock.

    hour : of the day, taken where rows tell only the day. The order of day, month and year is
    settled by the whole column. Raises BadLog with every row that cannot be read.
    """
    column = cells.column(date)
    if clock is not None:
        column = column + " " + cells.column(clock)
        column = column.str.strip_chars()
    for way in (_iso, _epoch):
        if (found := way(column)) is not None:
            return found
    return _parts(cells, column, hour=hour)


def _iso(column: pl.Series) -> Stamps | None:
    told = _ISO.fullmatch(column[0] or "")
    if told is None:
        return None
    layout = f"%Y-%m-%d{told['sep']}%H:%M"
    layout += ":%S" if told["s"] else ""
    layout += "%.f" if told["s"] else ""
    off = told["off"] or ""
    layout += "Z" if off == "Z" else "%:z" if ":" in off else "%z" if off else ""
    found = column.str.to_datetime(layout, time_unit="ms", strict=False)
    if found.null_count():
        return None
    if found.dtype.time_zone is not None:  # type: ignore[attr-defined]
        found = found.dt.convert_time_zone("UTC").dt.replace_time_zone(None)
    return Stamps(found.to_numpy(), np.full(column.len(), not off))


def _epoch(column: pl.Series) -> Stamps | None:
    for pattern, factor in ((_EPOCH_S, 1000.0), (_EPOCH_MS, 1.0)):
        if column.str.contains(pattern).all():
            ms = (column.cast(pl.Float64) * factor).round().cast(pl.Int64).to_numpy()
            return Stamps(ms.astype("datetime64[ms]"), np.zeros(ms.size, dtype=bool))
    return None


def _parts(cells: Cells, column: pl.Series, *, hour: float) -> Stamps:
    parts = column.str.extract_groups(_PARTS).struct.unnest()
    day_ms = _days_ms(cells, parts["date"].str.strip_chars())
    clock = parts["h"].cast(pl.Int64)
    days_only = clock.null_count() == column.len()
    hours = clock % 12 + 12 * (parts["half"].str.to_lowercase() == "p").cast(pl.Int64)
    hours = hours.fill_null(clock)
    ms = hours * _HOUR + parts["m"].cast(pl.Int64) * _MINUTE
    ms = ms + (parts["s"].cast(pl.Float64).fill_null(0.0) * 1000.0).round().cast(pl.Int64)
    ms = ms.fill_null(round(hour * _HOUR))
    _refuse_hours(cells, column, wrong=((clock > 24) | (ms > _DAY)).fill_null(False))
    offset = parts["off"].fill_null("")
    at = (day_ms + ms.to_numpy() - _offset_ms(offset)).astype("datetime64[ms]")
    return Stamps(at, (offset == "").to_numpy(), days_only)


def _days_ms(cells: Cells, dates: pl.Series) -> NDArray[np.int64]:
    """Milliseconds of each day, each wording read once, in the order of the rows."""
    wordings = dates.unique(maintain_order=True)
    first = {text: row for row, text in reversed(list(enumerate(dates.to_list())))}
    lines = [cells.lines[first[text]] for text in wordings.to_list()]
    try:
        days = dates_of(RecordText(cells.name, ()), wordings.to_list(), lines=lines)
    except BadRecord as refused:
        raise BadLog(refused.faults) from None
    ms = days.astype("datetime64[ms]").astype(np.int64)
    return dates.replace_strict(wordings, pl.Series(ms), return_dtype=pl.Int64).to_numpy()


def _offset_ms(offset: pl.Series) -> NDArray[np.int64]:
    """What a time is ahead of universal time by what stands behind it."""
    sign = offset.str.starts_with("-").cast(pl.Int64) * -2 + 1
    hours = offset.str.extract(r"[+-](\d\d)").cast(pl.Int64).fill_null(0)
    minutes = offset.str.extract(r"[+-]\d\d:?(\d\d)").cast(pl.Int64).fill_null(0)
    return (sign * (hours * _HOUR + minutes * _MINUTE)).to_numpy()


def _refuse_hours(cells: Cells, column: pl.Series, *, wrong: pl.Series) -> None:
    rows = np.flatnonzero(wrong.to_numpy())
    if rows.size:
        raise BadLog(
            cells.fault(f"'{column[int(row)]}' is no time of day; write 7:30 or 19:30.", int(row))
            for row in rows[:10]
        )
