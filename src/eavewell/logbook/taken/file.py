"""A file of readings read whole: times, gauges, figures, and what is to be asked."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadLog, Fault
from eavewell.logbook.kept import Kept, ManyReadings, Times
from eavewell.logbook.readings.figures import in_own_unit
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.midnights import said_at
from eavewell.logbook.readings.plausible import questions_on
from eavewell.logbook.readings.questions import Question, first_of
from eavewell.logbook.taken.brought import Brought
from eavewell.logbook.taken.cells import Cells, cells_of
from eavewell.logbook.taken.clock import in_utc
from eavewell.logbook.taken.columns import Column, Layout, layout_of
from eavewell.logbook.taken.numbers import figures_of
from eavewell.logbook.taken.times import stamps_of
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.weather.counted import counted

# files of more rows are machines': what a cell said is its figure and is not kept beside it
_SAID_ROWS = 20_000
_MIDDAY = 12.0
_FIRST, _LAST = np.datetime64("1900-01-01", "ms"), np.datetime64("2200-01-01", "ms")


def read_file(
    data: bytes,
    site: Site,
    *,
    name: str = "",
    gauge: str | Mapping[str, str] = "",
    unit: str = "",
    kept: Kept | None = None,
) -> Brought:
    """Read a file of readings: csv with any order of dates, one gauge or many, in any unit.

    gauge : of a file of one gauge, or a gauge by each name the file has for one. unit : of its
    bare figures. kept : what the log holds already, against which doubtful figures are seen.
    Where anything cannot be read nothing is brought, and every fault found is listed.
    """
    try:
        cells = cells_of(data, name)
        layout = layout_of(cells, gauges_of(site), named=gauge, unit=unit)
        return _brought(cells, layout, site=site, kept=kept)
    except BadLog as refused:
        return Brought(faults=refused.faults)


@dataclass(frozen=True, slots=True, eq=False)
class _Read:
    """Readings of one gauge, or faults."""

    many: ManyReadings | None
    questions: tuple[Question, ...] = ()
    faults: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()


def _brought(cells: Cells, layout: Layout, *, site: Site, kept: Kept | None) -> Brought:
    zone = site.log.zone
    hour = _MIDDAY if site.log.readings_at is None else site.log.readings_at
    stamps = stamps_of(cells, layout.date, clock=layout.clock, hour=hour)
    _refuse_years(cells, stamps.at)
    at_utc, notes, doubts = stamps.at.copy(), [*layout.notes], list[str]()
    if stamps.local.any():
        groups = _groups(layout, stamps.local)
        # in the order of the file, one pass through the clock for each gauge
        found = in_utc(stamps.at, zone=zone, groups=groups)
        at_utc[stamps.local] = found.at_utc[stamps.local]
        notes += found.notes
        doubts += found.doubts
        if not zone:
            notes.append("No time zone is stated: its times are taken as universal time.")
    if stamps.days_only:
        notes.append(f"Its rows tell no time of day: taken as {_clock(hour)}.")
    read = [_read(cells, one, at_utc=at_utc, zone=zone) for one in layout.columns]
    faults = tuple(fault for one in read for fault in one.faults)
    if faults:
        return Brought(faults=faults)
    many = tuple(one.many for one in read if one.many is not None)
    asked = [question for one in read for question in one.questions]
    for one in many:
        asked += questions_on(site, one, kept=kept, rain=many)
    return Brought(
        readings=many,
        questions=(*(Question("", says) for says in doubts), *asked),
        notes=(*notes, *(note for one in read for note in one.notes)),
    )


def _refuse_years(cells: Cells, at: Times) -> None:
    """Years before tanks were gauged and after these can be known are slips of the pen."""
    wrong = np.flatnonzero((at < _FIRST) | (at >= _LAST))
    if wrong.size:
        raise BadLog(
            cells.fault(
                f"The year {str(at[k])[:4]} must be a slip of the pen; write four figures.",
                int(k),
            )
            for k in wrong[:10]
        )


def _groups(layout: Layout, local: NDArray[np.bool_]) -> list[NDArray[np.int64]]:
    """Rows of each gauge once, where their times are local."""
    found: dict[str, NDArray[np.int64]] = {}
    for one in layout.columns:
        rows = one.rows[local[one.rows]]
        found[hashlib.sha256(rows.tobytes()).hexdigest()] = rows
    return list(found.values())


def _read(cells: Cells, column: Column, *, at_utc: Times, zone: str) -> _Read:
    gauge, lines = column.gauge, np.asarray(cells.lines)[column.rows]
    ours = replace(cells, lines=lines.tolist())
    figures = figures_of(ours, column.cells, gauge=gauge, unit=column.unit)
    if figures.faults:
        return _Read(None, faults=figures.faults)
    notes = [f"{gauge.name}: read in {figures.unit}."] if figures.unit else []
    if figures.commas:
        notes.append(f"{gauge.name}: commas before three figures were taken to part thousands.")
    if figures.blank:
        notes.append(f"{gauge.name}: {counted(figures.blank, 'row')} without a figure, left out.")
    outside = _outside(gauge, figures.value)
    if outside.any():
        notes.append(
            f"{gauge.name}: {counted(int(outside.sum()), 'figure')} outside what the gauge can "
            f"say, left out, first {in_own_unit(gauge, float(figures.value[outside][0]))}."
        )
    rows = np.flatnonzero(~np.isnan(figures.value) & ~outside)
    if not rows.size:
        return _Read(None, notes=(*notes, f"{gauge.name}: no row holds a figure."))
    raw = _Raw(gauge, at_utc[column.rows[rows]], figures.value[rows], lines[rows])
    said = tuple(column.cells.gather(rows).to_list()) if rows.size <= _SAID_ROWS else ()
    found = _in_order(raw, said, zone=zone)
    return replace(found, notes=(*notes, *found.notes))


@dataclass(frozen=True, slots=True, eq=False)
class _Raw:
    """Readings of a gauge in the order of the file, shape (reading,)."""

    gauge: Gauge
    at_utc: Times
    value: FloatArray
    lines: NDArray[np.int64]


def _in_order(raw: _Raw, said: tuple[str, ...], *, zone: str) -> _Read:
    """Sorted by time; of readings at one instant the first in the file is kept, and asked."""
    order = np.argsort(raw.at_utc, kind="stable")
    at, value = raw.at_utc[order], raw.value[order]
    again = np.r_[False, at[1:] == at[:-1]]
    # which reading of its instant is the one that is kept
    kept = np.maximum.accumulate(np.where(again, 0, np.arange(at.size)))
    differs = again & (value != value[kept])

    def ask(k: int) -> Question:
        first, other = (in_own_unit(raw.gauge, float(value[row])) for row in (kept[k], k))
        return Question(
            raw.gauge.name,
            f"At {said_at(at[k], zone)} it says {first} and also {other}; the first in the file is "
            "taken.",
            at_utc=at[k],
            value=float(value[k]),
            line=int(raw.lines[order[k]]),
        )

    asked = first_of(raw.gauge.name, np.flatnonzero(differs).tolist(), ask=ask)
    same = int(again.sum() - differs.sum())
    notes = (f"{raw.gauge.name}: {counted(same, 'row')} said twice the same.",) if same else ()
    many = ManyReadings(
        raw.gauge.name,
        at[~again],
        value[~again],
        said=tuple(said[k] for k in order[~again]) if said else (),
        zone=zone,
    )
    return _Read(many, asked, notes=notes)


def _outside(gauge: Gauge, value: FloatArray) -> NDArray[np.bool_]:
    """Figures that are no readings by the gauge's own limits."""
    low: NDArray[np.bool_] = value < (-np.inf if gauge.least is None else gauge.least)
    return low | (value > (np.inf if gauge.most is None else gauge.most))


def _clock(hour: float) -> str:
    return f"{int(hour)}:{round(hour % 1 * 60):02d}"
