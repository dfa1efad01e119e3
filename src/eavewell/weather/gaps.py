"""Gaps filled and records made longer, from a neighbour or from other years, always marked."""

from dataclasses import replace

import numpy as np

from eavewell.faults import BadRecord, Fault
from eavewell.site.rain_record import FloatArray, Mark, RainRecord
from eavewell.tables import table
from eavewell.weather.counted import counted
from eavewell.weather.years import day_in_year, month_of_day, runs_of


def fill(record: RainRecord, neighbour: RainRecord | None = None, *, seed: int = 1) -> RainRecord:
    """Fill missing days by the normal-ratio method, else from the same season of another year.

    A neighbour's depth is scaled by the two gauges' totals over the days both read. A gap it
    leaves takes the whole same season of one donor year, shifted by up to 15 days, drawn by
    `seed`; a gap no year can cover whole is cut in two. The record is never scaled by its
    coverage. Temperatures come from the neighbour, else from the mean of that calendar day.
    """
    rain_mm, marks, notes = record.rain_mm.copy(), record.marks.copy(), list(record.notes)
    if neighbour is not None:
        notes += _from_neighbour(record, neighbour, rain_mm=rain_mm, marks=marks)
    notes += _from_seasons(record, rain_mm, marks=marks, seed=seed)
    return replace(
        record,
        rain_mm=rain_mm,
        marks=marks,
        tmax_c=_filled_air(
            record, record.tmax_c, beside_c=_beside(neighbour, "tmax_c", record=record)
        ),
        tmin_c=_filled_air(
            record, record.tmin_c, beside_c=_beside(neighbour, "tmin_c", record=record)
        ),
        notes=tuple(notes),
    )


def extend(record: RainRecord, neighbour: RainRecord) -> RainRecord:
    """Make a record longer at both ends by a neighbour's, scaled month by month, marked EXTENDED.

    The scale of a month is the two gauges' totals over the days of that month both read;
    BadRecord where they have less than a year in common.
    """
    first, last = (
        min(record.first_day, neighbour.first_day),
        max(record.last_day, neighbour.last_day),
    )
    days = (last - first).days + 1
    if days == record.days:
        return record
    blank = np.full(days, np.nan)
    longer = replace(record, first_day=first, rain_mm=blank, marks=np.ones(days, dtype=np.uint16))
    rain_mm, marks = _placed_or_blank(record.rain_mm, record, on=longer), longer.marks.copy()
    rows = slice((record.first_day - first).days, (record.first_day - first).days + record.days)
    marks[rows] = record.marks
    beside = _placed_or_blank(neighbour.rain_mm, neighbour, on=longer)
    beside *= _monthly_ratio(longer, rain_mm, beside_mm=beside, neighbour=neighbour)
    added = ~np.isnan(beside)
    added[rows] = False
    rain_mm[added], marks[added] = beside[added], Mark.EXTENDED
    note = f"From {neighbour.name}, scaled by month: {counted(int(added.sum()), 'day')}."
    return replace(
        longer,
        rain_mm=rain_mm,
        marks=marks,
        tmax_c=_longer_air(
            record.tmax_c, neighbour.tmax_c, record=record, neighbour=neighbour, on=longer
        ),
        tmin_c=_longer_air(
            record.tmin_c, neighbour.tmin_c, record=record, neighbour=neighbour, on=longer
        ),
        notes=(*record.notes, note),
    )


def _from_neighbour(
    record: RainRecord,
    neighbour: RainRecord,
    *,
    rain_mm: FloatArray,
    marks: np.ndarray[tuple[int], np.dtype[np.uint16]],
) -> list[str]:
    beside = _placed_or_blank(neighbour.rain_mm, neighbour, on=record)
    both = ~np.isnan(beside) & ~np.isnan(rain_mm)
    least = int(table("rain_limits")["least_common_days"].value)
    if both.sum() < least or beside[both].sum() <= 0.0:
        return [
            f"{neighbour.name} was not used: it shares {counted(int(both.sum()), 'day')}, "
            f"{least} are needed."
        ]
    ratio = float(rain_mm[both].sum() / beside[both].sum())
    filled = np.isnan(rain_mm) & ~np.isnan(beside)
    rain_mm[filled] = beside[filled] * ratio
    marks[filled] = (marks[filled] & ~np.uint16(Mark.MISSING)) | np.uint16(Mark.FILLED_NEIGHBOUR)
    return [
        f"Filled from {neighbour.name} times {ratio:.3f}: "
        f"{counted(int(filled.sum()), 'missing day')}."
    ]


def _from_seasons(
    record: RainRecord,
    rain_mm: FloatArray,
    *,
    marks: np.ndarray[tuple[int], np.dtype[np.uint16]],
    seed: int,
) -> list[str]:
    measured = rain_mm.copy()
    if not np.isnan(measured).any() or np.isnan(measured).all():
        return []
    draw = np.random.default_rng(seed)
    filled = 0
    todo = [(int(row), int(length)) for row, length in runs_of(np.isnan(measured))]
    while todo:
        row, length = todo.pop()
        donors = _donors(measured, row, length=length)
        if donors.size:
            start = int(draw.choice(donors))
            rain_mm[row : row + length] = measured[start : start + length]
            filled += length
        elif length == 1:
            rain_mm[row] = float(draw.choice(measured[~np.isnan(measured)]))
            filled += 1
        else:
            todo += [(row, length // 2), (row + length // 2, length - length // 2)]
    gap = np.isnan(measured)
    marks[gap] = (marks[gap] & ~np.uint16(Mark.MISSING)) | np.uint16(Mark.FILLED_SEASON)
    return [
        f"Filled from the same season of other years, drawn with seed {seed}: "
        f"{counted(filled, 'missing day')}."
    ]


def _donors(
    measured: FloatArray, row: int, *, length: int
) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Rows at which a whole gap-long piece was measured in the same season of another year."""
    window = int(table("rain_limits")["fill_window"].value)
    years = np.arange(-(row // 365) - 1, (measured.size - row) // 365 + 2)
    shifts = np.arange(-window, window + 1)
    offsets = np.round(years[years != 0] * 365.25).astype(np.int64)
    starts = (row + offsets[:, None] + shifts[None, :]).ravel()
    starts = starts[(starts >= 0) & (starts + length <= measured.size)]
    gaps_before = np.r_[0, np.cumsum(np.isnan(measured))]
    whole = gaps_before[starts + length] == gaps_before[starts]
    return np.asarray(starts[whole], dtype=np.int64)


def _placed(values: FloatArray | None, source: RainRecord, *, on: RainRecord) -> FloatArray | None:
    """Values of one record on the calendar of another; NaN outside."""
    if values is None:
        return None
    placed = np.full(on.days, np.nan)
    shift = (source.first_day - on.first_day).days
    first, last = max(shift, 0), min(shift + source.days, on.days)
    if first < last:
        placed[first:last] = values[first - shift : last - shift]
    return placed


def _placed_or_blank(
    values: FloatArray | None, source: RainRecord, *, on: RainRecord
) -> FloatArray:
    placed = _placed(values, source, on=on)
    return np.full(on.days, np.nan) if placed is None else placed


def _beside(neighbour: RainRecord | None, name: str, *, record: RainRecord) -> FloatArray | None:
    return None if neighbour is None else _placed(getattr(neighbour, name), neighbour, on=record)


def _filled_air(
    record: RainRecord, air_c: FloatArray | None, *, beside_c: FloatArray | None
) -> FloatArray | None:
    if air_c is None or not np.isnan(air_c).any() or np.isnan(air_c).all():
        return air_c
    filled = air_c.copy()
    if beside_c is not None:
        both = ~np.isnan(filled) & ~np.isnan(beside_c)
        shift_c = float((filled[both] - beside_c[both]).mean()) if both.any() else 0.0
        filled = np.where(np.isnan(filled), beside_c + shift_c, filled)
    days = day_in_year(record)
    known = ~np.isnan(air_c)
    counts = np.bincount(days[known], minlength=366)
    sums = np.bincount(days[known], weights=air_c[known], minlength=366)
    present = np.flatnonzero(counts)
    mean_c = np.interp(np.arange(366), present, sums[present] / counts[present], period=366)
    return np.where(np.isnan(filled), mean_c[days], filled)


def _longer_air(
    air_c: FloatArray | None,
    beside_c: FloatArray | None,
    *,
    record: RainRecord,
    neighbour: RainRecord,
    on: RainRecord,
) -> FloatArray | None:
    if air_c is None:
        return None
    own = _placed_or_blank(air_c, record, on=on)
    beside = _placed_or_blank(beside_c, neighbour, on=on)
    both = ~np.isnan(own) & ~np.isnan(beside)
    shift_c = float((own[both] - beside[both]).mean()) if both.any() else 0.0
    return np.where(np.isnan(own), beside + shift_c, own)


def _monthly_ratio(
    longer: RainRecord, rain_mm: FloatArray, *, beside_mm: FloatArray, neighbour: RainRecord
) -> FloatArray:
    """Ratio of the two gauges for the month of every day; the whole year's where a month is dry."""
    both = ~np.isnan(rain_mm) & ~np.isnan(beside_mm)
    least = int(table("rain_limits")["least_common_days"].value)
    if both.sum() < least or beside_mm[both].sum() <= 0.0:
        says = (
            f"It shares {counted(int(both.sum()), 'day')} with {longer.name}; "
            "a year in common is needed."
        )
        raise BadRecord(Fault(says, file=neighbour.name))
    whole = rain_mm[both].sum() / beside_mm[both].sum()
    months = month_of_day(longer)
    own = np.bincount(months[both], weights=rain_mm[both], minlength=13)
    other = np.bincount(months[both], weights=beside_mm[both], minlength=13)
    ratio = np.where((own > 0) & (other > 0), own / np.where(other > 0, other, 1.0), whole)
    return np.asarray(ratio[months], dtype=np.float64)
