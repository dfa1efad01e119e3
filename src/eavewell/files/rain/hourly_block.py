"""An hourly series with a block of headings first ('Station ID: ...'), then one value an hour."""

import re
from datetime import date

import numpy as np

from eavewell.files.rain.depth_texts import depths, mm_per, numbers
from eavewell.files.rain.record_text import RecordText
from eavewell.files.rain.step_rows import TimedRain, step_rain
from eavewell.site.rain_record import StepRain

STEP = re.compile(r"(\d+) *(min|hr|h)", re.IGNORECASE)
STAMP = re.compile(r"(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)?", re.ASCII)


def is_hourly_block(text: RecordText) -> bool:
    """True where the file starts with the block of headings."""
    return text.lines[0].lower().startswith("station id:")


def read_hourly_block(text: RecordText) -> StepRain:
    """Read the headings and the values after them; codes are missing, not rain."""
    heads, first_line = _heads(text)
    starts_at = _stamp(text, heads, name="start datetime")
    step = _step(text, heads)
    cells = [line.strip() for line in text.lines[first_line:]]
    values = numbers(
        text, cells, lines=range(first_line + 1, len(text.lines) + 1), what="hourly value"
    )
    _check_count(text, heads, count=len(cells))
    code = heads.get("no data value", "-999")
    values[values == numbers(text, [code], lines=[1], what="no data value")[0]] = np.nan
    read = depths(values, mm_per(heads.get("new units") or "mm", text.name))
    starts = starts_at + np.arange(values.size).astype("timedelta64[m]") * step
    station = heads.get("station id", "")
    return step_rain(text, TimedRain(starts, read.rain_mm, step, notes=read.notes, station=station))


def _heads(text: RecordText) -> "tuple[dict[str, str], int]":
    heads: dict[str, str] = {}
    for number, line in enumerate(text.lines):
        if ":" not in line:
            return heads, number
        name, _, value = line.partition(":")
        heads[name.strip().lower()] = value.strip()
    raise text.bad("The file has headings and no values after them.")


def _stamp(text: RecordText, heads: dict[str, str], *, name: str) -> np.datetime64:
    found = STAMP.fullmatch(heads.get(name, ""))
    try:
        if found is None:
            raise ValueError
        day = date(int(found[1]), int(found[2]), int(found[3]))
        minutes = int(found[4]) * 60 + int(found[5] or 0)
        return np.datetime64(day, "m") + np.timedelta64(minutes, "m")
    except ValueError:
        says = f"'{name.capitalize()}: {heads.get(name, '')}' is not year, month, day and hour."
        raise text.bad(says) from None


def _step(text: RecordText, heads: dict[str, str]) -> int:
    found = STEP.match(heads.get("new timestep", ""))
    minutes = 0
    if found:
        minutes = int(found[1][:6]) * (1 if found[2].lower() == "min" else 60)
    if not 1 <= minutes <= 720:
        raise text.bad("'New Timestep' must name 1 min to 12 hr.")
    return minutes


def _check_count(text: RecordText, heads: dict[str, str], *, count: int) -> None:
    said = heads.get("number of records", "")
    if said.isascii() and said.isdigit() and len(said) < 12 and int(said) != count:
        raise text.bad(
            f"The heading promises {said} values, {count} are there: the file is cut off."
        )
