"""Which columns of a file hold the times and which gauge each figure is of."""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from eavewell.faults import BadLog
from eavewell.logbook.readings.figures import fits
from eavewell.logbook.taken.cells import Cells, is_time
from eavewell.logbook.taken.names import gauge_named, unit_in
from eavewell.logbook.taken.numbers import NOTHING
from eavewell.logbook.taken.times import CLOCK
from eavewell.site.gauge import Gauge

# headings, the surest first
TIMES = (
    *("last_changed", "last_updated", "timestamp", "datetime", "date_time", "date time"),
    *("time", "date", "read date", "reading date", "when", "at", "day"),
)
NAMES = ("entity_id", "entity", "gauge", "sensor", "meter", "name", "tank", "device", "id")
VALUES = (
    *("state", "reading", "meter reading", "read", "value", "figure", "register", "level", "depth"),
    *("distance", "rain", "volume", "count", "pulses", "temperature", "pressure", "hours"),
)
# what a bill or a logger tells beside the figure of the gauge
BESIDE = (
    *("usage", "use", "consumption", "used", "cost", "amount", "charge", "price", "days", "note"),
    *("notes", "comment", "status", "flag", "attributes", "battery", "unit", "units", "who"),
)
_SAMPLE = 50


@dataclass(frozen=True, slots=True, eq=False)
class Column:
    """Figures of one gauge: which rows of the file, and their cells.

    unit : of bare figures as the file says it; "" where it does not.
    """

    gauge: Gauge
    rows: NDArray[np.int64]
    cells: pl.Series
    unit: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """Where the times stand, and the columns of figures. clock : of the time of day alone."""

    date: int
    clock: int | None
    columns: tuple[Column, ...]
    notes: tuple[str, ...] = ()


def layout_of(
    cells: Cells, gauges: Sequence[Gauge], *, named: str | Mapping[str, str] = "", unit: str = ""
) -> Layout:
    """Find the times and the gauges of a file; BadLog names what is missing.

    named : the gauge of a file of one gauge, or gauges by the names the file has for them.
    unit  : of the bare figures of a file of one gauge.
    """
    date, clock = _times(cells)
    rest = [k for k in range(cells.width) if k not in (date, clock)]
    of = _names(cells, rest, gauges=gauges, named=named)
    if of is not None:
        value = _value(cells, [k for k in rest if k != of])
        found, notes = _long(cells, of, value=value, gauges=gauges, named=named)
    else:
        found, notes = _wide(cells, rest, gauges=gauges, named=named)
        if not found:
            found = (_single(cells, rest, gauges=gauges, named=named),)
    if unit:
        found = tuple(Column(one.gauge, one.rows, one.cells, unit) for one in found)
    return Layout(date, clock, found, notes)


def _times(cells: Cells) -> tuple[int, int | None]:
    """The column of dates, and of the clock where it has its own."""
    dated = [k for k in range(cells.width) if _mostly(cells, k, test=is_time)]
    clocks = [k for k in range(cells.width) if _mostly(cells, k, test=CLOCK.fullmatch)]
    if not dated:
        raise cells.bad("No column of dates was found; head it 'date' or 'time'.")
    by_heading = [k for word in TIMES for k in dated if cells.low[k] == word]
    date = (by_heading or dated)[0]
    return date, next((k for k in clocks if k != date), None)


def _mostly(cells: Cells, k: int, *, test: Callable[[str], object]) -> bool:
    sample = [cell for cell in cells.column(k).head(_SAMPLE).to_list() if cell]
    hits = sum(1 for cell in sample if test(cell))
    return bool(sample) and 2 * hits > len(sample)


def _names(
    cells: Cells, rest: list[int], *, gauges: Sequence[Gauge], named: str | Mapping[str, str]
) -> int | None:
    """The column that names the gauge of each row; None where the file has none."""
    if len(rest) < 2:
        return None
    for word in NAMES:
        for k in rest:
            if cells.low[k] == word and not _numeric(cells, k):
                return k
    if cells.heading:
        return None
    for k in rest:
        texts = set(cells.column(k).head(_SAMPLE).to_list())
        if all(gauge_named(text, gauges, named=named) for text in texts):
            return k
    return None


def _long(
    cells: Cells,
    of: int,
    *,
    value: int,
    gauges: Sequence[Gauge],
    named: str | Mapping[str, str],
) -> tuple[tuple[Column, ...], tuple[str, ...]]:
    unit_at = next((k for k, word in enumerate(cells.low) if word in ("unit", "units")), None)
    unit_at = unit_at if unit_at not in (of, value) else None
    keys = [of] if unit_at is None else [of, unit_at]
    parts = cells.frame.with_row_index("row").group_by([str(k) for k in keys], maintain_order=True)
    found, left = list[Column](), list[str]()
    for key, part in parts:
        name, unit = str(key[0]), str(key[1]) if len(key) > 1 else ""
        gauge = gauge_named(name, gauges, named=named)
        if gauge is None:
            left.append(f"{name} ({part.height:,})")
            continue
        rows = part["row"].to_numpy().astype(np.int64)
        heading = unit_in(_heading(cells, value))
        found.append(Column(gauge, rows, part[str(value)], unit or heading))
    if not found:
        raise BadLog(cells.fault(_unknown(left, gauges)))
    return tuple(found), _left_out(left)


def _wide(
    cells: Cells,
    rest: list[int],
    *,
    gauges: Sequence[Gauge],
    named: str | Mapping[str, str],
) -> tuple[tuple[Column, ...], tuple[str, ...]]:
    """A column to a gauge, by the headings."""
    if not cells.heading or (isinstance(named, str) and named):
        return (), ()
    every = np.arange(cells.frame.height)
    found, left = list[Column](), list[str]()
    for k in rest:
        heading = _heading(cells, k)
        gauge = gauge_named(heading, gauges, named=named)
        if gauge is None:
            left.append(heading or f"column {k + 1}")
        else:
            found.append(Column(gauge, every, cells.column(k), unit_in(heading)))
    doubled = {one.gauge.name for one in found if [o.gauge for o in found].count(one.gauge) > 1}
    if doubled:
        raise cells.bad(f"Two columns are of the gauge '{min(doubled)}'; keep one of them.")
    return tuple(found), _left_out(left) if found else ()


def _single(
    cells: Cells,
    rest: list[int],
    *,
    gauges: Sequence[Gauge],
    named: str | Mapping[str, str],
) -> Column:
    """The one column of figures of a file of one gauge."""
    value = _value(cells, rest)
    heading = _heading(cells, value)
    gauge = _only(cells, gauges, heading=heading, named=named)
    return Column(gauge, np.arange(cells.frame.height), cells.column(value), unit_in(heading))


def _heading(cells: Cells, k: int) -> str:
    return cells.heading[k] if k < len(cells.heading) else ""


def _only(
    cells: Cells, gauges: Sequence[Gauge], *, heading: str, named: str | Mapping[str, str]
) -> Gauge:
    """The gauge that is named, or the only one whose figures the column could be."""
    if isinstance(named, str) and named:
        gauge = gauge_named(named, gauges)
        if gauge is None:
            raise cells.bad(_unknown([named], gauges))
        return gauge
    unit, words = unit_in(heading), set(re.findall(r"[a-z]+", heading.lower()))
    fitting = [one for one in gauges if fits(one, unit)]
    meant = [one for one in fitting if set(one.measures.split()) & words] or fitting
    if len(meant) == 1:
        return meant[0]
    names = ", ".join(f"'{one.name}'" for one in meant or gauges)
    raise cells.bad(f"It does not say whose figures these are; say which gauge: {names}.")


def _value(cells: Cells, rest: list[int]) -> int:
    """The column of figures among those that are left."""
    numeric = [k for k in rest if _numeric(cells, k)]
    heads = {k: cells.low[k] for k in rest}
    words = {k: tuple(re.findall(r"[a-z]+", head)) for k, head in heads.items()}
    plain = [k for k in numeric if not set(words[k]) & set(BESIDE)]
    for word in VALUES:
        for k in plain:
            if heads[k] == word or set(word.split()) <= set(words[k]):
                return k
    if len(plain) == 1:
        return plain[0]
    if numeric and not plain:
        raise cells.bad(
            f"It tells '{heads[numeric[0]]}' and not the figure that stands on the meter; bring in "
            "readings of the meter."
        )
    if not numeric:
        raise cells.bad(
            "No column of figures was found beside the dates; part the cells by commas."
        )
    shown = ", ".join(f"'{heads[k] or k + 1}'" for k in plain)
    raise cells.bad(
        f"Which column holds the figures is not plain among {shown}; head it 'reading', or head "
        "each column with the name of its gauge."
    )


def _numeric(cells: Cells, k: int) -> bool:
    told = [c for c in cells.column(k).head(2000).to_list() if c.lower() not in NOTHING]
    numbered = sum(1 for cell in told if re.match(r"[-+]?[\d.,]*\d", cell))
    return bool(told) and 2 * numbered > len(told) and not _mostly(cells, k, test=is_time)


def _unknown(names: Iterable[str], gauges: Sequence[Gauge]) -> str:
    shown = ", ".join(list(names)[:8])
    known = ", ".join(f"'{one.name}'" for one in gauges)
    return (
        f"None of its names is that of a gauge of the site: {shown}. The site has {known}; say "
        "which is which."
    )


def _left_out(left: list[str]) -> tuple[str, ...]:
    if not left:
        return ()
    more = f" and {len(left) - 8} more" if len(left) > 8 else ""
    return (f"Left out, as of no gauge of the site: {', '.join(left[:8])}{more}.",)
