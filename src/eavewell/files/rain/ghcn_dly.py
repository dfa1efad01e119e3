"""NOAA GHCN-Daily fixed width (.dly): one line a month and element."""

import re

import numpy as np

from eavewell.files.rain.calendar_rows import About
from eavewell.files.rain.ghcn_elements import ELEMENTS, UNREAD, Readings, record_of
from eavewell.files.rain.record_text import RecordText
from eavewell.site.rain_record import RainRecord

LINE = re.compile(r"[A-Z0-9_-]{11}\d{6}[A-Z0-9]{4}[ \d-]{5}", re.ASCII)
WIDTH = 269
CELL = np.dtype([("value", "S5"), ("m", "S1"), ("q", "S1"), ("s", "S1")])


def is_ghcn_dly(text: RecordText) -> bool:
    """True where the first line is a station's month."""
    return LINE.match(text.lines[0]) is not None


def read_ghcn_dly(text: RecordText) -> RainRecord:
    """Read PRCP, TMAX, TMIN and multi-day totals; source ghcn_daily_readme, section III."""
    kept: dict[str, list[int]] = {}
    stations = set()
    for number, line in enumerate(text.lines):
        if not line.strip():
            continue
        if not LINE.match(line):
            raise text.bad(f"{line[:30]!r} is not a line of a .dly file.", number + 1)
        stations.add(line[:11])
        if line[17:21] in ELEMENTS:
            kept.setdefault(line[17:21], []).append(number)
    if len(stations) > 1:
        raise text.bad(f"The file holds {len(stations)} stations; keep the lines of one.")
    station = stations.pop()
    elements = {name: _readings(text, name, numbers=numbers) for name, numbers in kept.items()}
    return record_of(elements, About(text.name, station=station))


def _readings(text: RecordText, name: str, *, numbers: list[int]) -> Readings:
    months = _months(text, numbers)
    flat = b"".join(_cells(text.lines[number]) for number in numbers)
    cells = np.frombuffer(flat, dtype=CELL).reshape(len(numbers), 31)
    values = _values(text, numbers, cells=np.ascontiguousarray(cells["value"]))
    dates = months[:, None].astype("datetime64[D]") + np.arange(31)
    inside = dates.astype("datetime64[M]") == months[:, None]
    scaled = values if name == "DAPR" else values / 10.0
    return Readings(
        dates[inside],
        np.where(values == UNREAD, np.nan, scaled)[inside],
        np.char.decode(cells["m"][inside], "ascii"),
        np.char.decode(cells["q"][inside], "ascii"),
    )


def _cells(line: str) -> bytes:
    return line.ljust(WIDTH)[21:WIDTH].encode("ascii", "replace")


def _months(
    text: RecordText, numbers: list[int]
) -> np.ndarray[tuple[int], np.dtype[np.datetime64]]:
    for number in numbers:
        if not 1 <= int(text.lines[number][15:17]) <= 12 or text.lines[number][11:13] < "15":
            raise text.bad(f"{text.lines[number][11:17]!r} is not a year and month.", number + 1)
    names = [f"{text.lines[n][11:15]}-{text.lines[n][15:17]}" for n in numbers]
    return np.array(names, dtype="datetime64[M]")


def _values(
    text: RecordText, numbers: list[int], *, cells: np.ndarray[tuple[int, int], np.dtype[np.bytes_]]
) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    bare = np.char.strip(cells)
    bare[bare == b""] = b"-9999"
    try:
        return bare.astype(np.int64).astype(np.float64)
    except ValueError:
        pass
    for row, number in zip(bare, numbers, strict=True):
        for cell in row.tolist():
            if not re.fullmatch(rb"-?\d+", cell):
                says = f"{cell.decode('ascii', 'replace')!r} is not a reading; blank it as -9999."
                raise text.bad(says, number + 1)
    raise text.bad("The readings cannot be read as whole numbers.")
