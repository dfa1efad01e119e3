"""Which column of a plain csv holds the date, the depth, the temperatures - and in which unit."""

import re
from dataclasses import dataclass

from eavewell.files.rain.csv_rows import CsvRows, cells_of
from eavewell.files.rain.date_texts import is_date
from eavewell.files.rain.depth_texts import NOTHING, NUMBER
from eavewell.files.rain.record_text import RecordText

DATE_WORDS = (
    "date",
    "datum",
    "fecha",
    "day_date",
    "lst_date",
    "datetime",
    "time",
    "timestamp",
    "utc",
)
DEPTH_WORDS = (
    "prcp",
    "precipitation",
    "precip",
    "rainfall",
    "rain",
    "ppt",
    "pcp",
    "depth",
    "mm",
    "in",
    "inches",
    "inch",
)
UNIT_WORDS = {
    "mm": "mm",
    "millimetres": "mm",
    "millimeters": "mm",
    "cm": "cm",
    "inches": "in",
    "inch": "in",
    "in": "in",
}
NOT_DEPTH = frozenset({"attributes", "flag", "flags", "quality", "day", "days", "month", "year"})
HEAD_LINES = 40


@dataclass(frozen=True, slots=True)
class RainColumns:
    """Columns by their index; date is one column or year, month and day.

    time : a column with the time of day alone; None where there is none.
    unit : of the depth column by its heading; "" where it does not say.
    """

    date: tuple[int, ...]
    depth: int
    unit: str = ""
    time: int | None = None
    tmax: int | None = None
    tmin: int | None = None


def words(heading: str) -> tuple[str, ...]:
    """The words of a heading: 'Rain (mm)' -> rain, mm."""
    return tuple(word for word in re.split(r"[^a-z0-9]+", heading.lower()) if word)


def heading_line(text: RecordText) -> int | None:
    """Index of the heading among the first lines; None where the readings start at once."""
    for index, line in enumerate(text.lines[:HEAD_LINES]):
        cells = cells_of(line)
        if len(cells) >= 2 and is_date(cells[0]):
            return None if index == 0 else _before(text, index)
        if len(cells) >= 2 and _date_columns(cells) and _depth_candidates(cells):
            return index
    for index, line in enumerate(text.lines[:HEAD_LINES]):
        if len(cells_of(line)) >= 2:
            return index
    return 0


def rain_columns(found: CsvRows) -> RainColumns:
    """Find the columns of a csv; BadRecord names what is missing."""
    if not found.heading:
        return RainColumns((0,), 1)
    heading = found.heading
    date = _date_columns(heading)
    if not date and is_date(found.rows[0][0]):
        date = (0,)
    if not date:
        raise found.text.bad(
            "No date column was found; head it 'date', or give 'year', 'month' and 'day'.", 1
        )
    time = next((k for k, name in enumerate(heading) if name == "time" and k not in date), None)
    depth = _depth_column(found, taken={*date, time})
    return RainColumns(
        date,
        depth,
        _unit(heading[depth]),
        time,
        _temperature(heading, "max"),
        _temperature(heading, "min"),
    )


def _before(text: RecordText, index: int) -> int | None:
    """The line before the first reading, where it is a heading and not a remark."""
    cells = cells_of(text.lines[index - 1])
    return index - 1 if len(cells) >= 2 else None


def _date_columns(heading: tuple[str, ...]) -> tuple[int, ...]:
    for word in DATE_WORDS:
        if word in heading:
            return (heading.index(word),)
    named = [k for k, name in enumerate(heading) if set(words(name)) & set(DATE_WORDS)]
    if named:
        return (named[0],)
    parts = [("year", "yr", "yyyy"), ("month", "mo", "mm"), ("day", "dd", "dy")]
    found = [next((heading.index(n) for n in names if n in heading), None) for names in parts]
    known = tuple(index for index in found if index is not None)
    return known if len(known) == 3 else ()


def _depth_candidates(heading: tuple[str, ...]) -> list[int]:
    """Columns that could be a depth, the surest first."""
    ranked = []
    for k, name in enumerate(heading):
        parts = words(name)
        if NOT_DEPTH & set(parts):
            continue
        ranks = [DEPTH_WORDS.index(part) for part in parts if part in DEPTH_WORDS]
        if name == "p_daily_calc":
            ranks.append(0)
        if ranks and not {"tmax", "tmin", "temperature", "snow", "snowfall"} & set(parts):
            ranked.append((min(ranks), len(parts), k))
    return [k for _, _, k in sorted(ranked)]


def _depth_column(found: CsvRows, taken: set[int | None]) -> int:
    for k in _depth_candidates(found.heading):
        if k not in taken and _is_numeric(found.column(k)):
            return k
    others = [k for k in range(len(found.heading)) if k not in taken]
    if len(others) == 1 and _is_numeric(found.column(others[0])):
        return others[0]
    shown = ", ".join(repr(name) for name in found.heading[:8])
    raise found.text.bad(
        f"No depth column was found among {shown}; head it 'rain_mm' or 'rain_in'."
    )


def _is_numeric(cells: list[str]) -> bool:
    told = [cell.strip() for cell in cells[:2000] if cell.strip().lower() not in NOTHING]
    return bool(told) and sum(
        map(bool, map(NUMBER.fullmatch, (c.replace(",", ".") for c in told)))
    ) * 2 > len(told)


def _unit(heading: str) -> str:
    parts = words(heading)
    return next((unit for word, unit in UNIT_WORDS.items() if word in parts), "")


def _temperature(heading: tuple[str, ...], end: str) -> int | None:
    for k, name in enumerate(heading):
        parts = set(words(name))
        if f"t{end}" in parts or (
            {end, f"{end}imum"} & parts and {"temp", "temperature", "t"} & parts
        ):
            return k
    return None
