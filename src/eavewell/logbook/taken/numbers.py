"""A column of written figures as numbers: decimal commas, units in the cell, words for nothing."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import polars as pl

from eavewell.faults import BadQuantity, Fault
from eavewell.files.rain.depth_texts import TRACE
from eavewell.logbook.readings.figures import Scale, quantity_asked, scale_of
from eavewell.logbook.taken.cells import Cells
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.units import read

# what a machine or a person writes where nothing was read
NOTHING = ("", "unavailable", "unknown", "none", "null", "nan", "na", "n/a", "-", "--", "missing")
MOST_FAULTS = 10
_GROUPED = re.compile(r"[-+]?\d{1,3}([.,]\d{3})+", re.ASCII)
_EITHER = re.compile(r"[-+]?[\d.,]*\d[\d.,]*(?=\s|$|[a-zA-Z\"'])", re.ASCII)


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """Figures in the internal unit, nan where a cell holds none; shape (row,).

    blank : cells that say that nothing was read. unit : of the bare figures; "" for none of
    them. commas : True where commas were taken to part thousands.
    """

    value: FloatArray
    blank: int
    unit: str
    faults: tuple[Fault, ...] = ()
    commas: bool = False


def figures_of(cells: Cells, column: pl.Series, *, gauge: Gauge, unit: str = "") -> Figures:
    """Figures of one gauge; unit : of the bare ones, the gauge's own where not given."""
    low = column.str.to_lowercase()
    blank = low.is_in(NOTHING)
    if gauge.measures == "rain":
        column = column.set(low.is_in(list(TRACE)), "0")
    told = _with_points(column, blank, separator=cells.separator)
    if told.fault:
        unread = np.full(column.len(), np.nan)
        return Figures(unread, 0, "", (cells.fault(_of(gauge, told.fault)),))
    bare = told.column.cast(pl.Float64, strict=False)
    bare = bare.set(~bare.is_finite().fill_null(False), None)
    value = bare.to_numpy().astype(np.float64).copy()
    rest = np.flatnonzero((bare.is_null() & ~blank).to_numpy())
    numbered = np.flatnonzero(bare.is_not_null().to_numpy())
    try:
        scale = scale_of(gauge, unit)
    except BadQuantity as refused:
        return Figures(value, 0, "", (cells.fault(_of(gauge, refused.faults[0].says)),))
    if numbered.size and scale is None:
        return Figures(value, 0, "", (cells.fault(_no_unit(gauge)),))
    scale = scale or Scale(1.0, 0.0, "")
    value = value * scale.factor + scale.offset
    faults = _with_units(cells, column, rest=rest, gauge=gauge, value=value, comma=told.decimal)
    said = scale.unit if numbered.size else ""
    return Figures(value, int(blank.sum()), said, faults, commas=told.supposed)


def _with_units(
    cells: Cells,
    column: pl.Series,
    *,
    rest: np.ndarray,
    gauge: Gauge,
    value: FloatArray,
    comma: bool,
) -> tuple[Fault, ...]:
    """Read cells that carry their unit, each wording once; what cannot be read is a fault."""
    faults: list[Fault] = []
    known: dict[str, float | str] = {}
    texts: Sequence[str] = column.gather(rest).to_list() if rest.size else ()
    for row, text in zip(rest.tolist(), texts, strict=True):
        if text not in known:
            known[text] = _read(text, gauge, comma=comma)
        found = known[text]
        if isinstance(found, float):
            value[row] = found
        elif len(faults) < MOST_FAULTS:
            faults.append(cells.fault(_of(gauge, found), row))
        else:
            return (*faults, cells.fault("There are more such cells."))
    return tuple(faults)


def _read(text: str, gauge: Gauge, *, comma: bool) -> float | str:
    try:
        return read(text.replace(",", ".") if comma else text, quantity_asked(gauge))
    except BadQuantity as refused:
        return refused.faults[0].says


@dataclass(frozen=True, slots=True, eq=False)
class _Told:
    """A column with points for decimals.

    decimal : commas marked them. supposed : commas were supposed to part thousands. fault : why
    nobody can say.
    """

    column: pl.Series
    decimal: bool = False
    supposed: bool = False
    fault: str = ""


def _with_points(column: pl.Series, blank: pl.Series, *, separator: str) -> _Told:
    """Settle what commas mean by the whole column.

    Where a comma cannot part thousands it marks decimals. Where every figure could be read both
    ways, commas part thousands in a file whose cells are parted by commas too; else it is asked.
    """
    commas = column.filter(column.str.contains(",", literal=True) & ~blank).unique().to_list()
    if not commas:
        return _Told(column)
    numbers = [found[0] for text in commas if (found := _EITHER.match(text))]
    decimal = [text for text in numbers if _is_decimal_comma(text)]
    grouped = [text for text in numbers if text.count(",") > 1 or re.search(r",\d{3}\.", text)]
    if decimal and grouped:
        says = f"In '{decimal[0]}' the comma marks decimals and in '{grouped[0]}' it does not."
        return _Told(column, fault=f"{says} Write the figures without commas.")
    if decimal:
        return _Told(_commas_to_points(column), decimal=True)
    pointed = column.str.contains(r"^[-+]?\d+\.\d{1,2}$|^[-+]?\d+\.\d{4,}$").any()
    if grouped or pointed or separator == ",":
        return _Told(_without(",", column), supposed=not (grouped or pointed))
    return _Told(
        column,
        fault=f"In '{commas[0]}' the comma may mark thousands or decimals, and no other figure of "
        "the column tells; write the figures without commas.",
    )


def _is_decimal_comma(text: str) -> bool:
    """True where the comma can only mark decimals: one, last, not before three figures."""
    before, _, after = text.rpartition(",")
    if "," in before or "." in after:
        return False
    return len(after) != 3 or before.lstrip("+-") in ("", "0") or len(before.lstrip("+-")) > 3


def _commas_to_points(column: pl.Series) -> pl.Series:
    return _without(r"\.", column).str.replace(",", ".", literal=True)


def _without(sign: str, column: pl.Series) -> pl.Series:
    """The column without a sign that stands before three figures."""
    for _ in range(2):  # one pass takes every second of them
        column = column.str.replace_all(rf"(\d){sign}(\d{{3}})", "${1}${2}")
    return column


def _no_unit(gauge: Gauge) -> str:
    return _of(
        gauge,
        "the unit of its figures is not said: write it in the heading, such as 'reading (gal)', or "
        "give the gauge a unit in the site file.",
    )


def _of(gauge: Gauge, says: str) -> str:
    return f"{gauge.name}: {says}"
