"""NOAA hourly fixed layout (HPD): a line a day of wet hours, hour 25 the day's total."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from eavewell.files.rain.depth_texts import mm_per
from eavewell.files.rain.record_text import RecordText
from eavewell.files.rain.step_rows import TimedRain, days_between, step_rain
from eavewell.site.rain_record import StepRain
from eavewell.weather.counted import counted

LINE = re.compile(r"HPD(\d{8})HPCP(HI|HT)(\d{4})(\d\d)(\d{4})(\d{3})", re.ASCII)
GROUP = re.compile(r"(\d\d)(\d\d)([ -]?\d{5,6})(.)(.)", re.ASCII)
FIRST_GROUP, GROUP_WIDTH = 30, 12
DAY_TOTAL = 25
NOTHING = 99999
GATHERED = frozenset("aA,")
BEGUN_MISSING, ENDED_MISSING = "M[D{", "M]D}"


@dataclass(frozen=True, slots=True)
class Hour:
    """One group of a line: hour 1 to 24 ends then, 25 is the day; depth in 0.01 in."""

    day: date
    hour: int
    hundredths: int
    flag: str
    line: int


def is_noaa_hourly(text: RecordText) -> bool:
    """True where the first line is a day of hourly precipitation."""
    return text.lines[0].startswith("HPD") and LINE.match(text.lines[0]) is not None


def read_noaa_hourly(text: RecordText) -> StepRain:
    """Read one station; hours not listed are dry, months not listed are missing.

    Flags: M, [ ] and D, { } span hours without a value; a to A spans an amount gathered over
    hours, spread evenly; I marks an incomplete day. Layout from the file and memory of its
    description (NOAA DSI-3240).
    """
    hours = list(_hours(text))
    stations = {line[3:11] for line in text.lines if line.strip()}
    if len(stations) > 1:
        raise text.bad(f"The file holds {len(stations)} stations; keep the lines of one.")
    listed = [hour for hour in hours if hour.hour != DAY_TOTAL]
    values = [hour for hour in listed if hour.hundredths != NOTHING and hour.flag not in GATHERED]
    gathered, begun = _gathered(listed)
    missing = _missing_days(hours) | _missing_months(hours)
    starts = [_start(hour) for hour in values] + [start for start, _ in gathered]
    depth = [float(hour.hundredths) for hour in values] + [each for _, each in gathered]
    spread = f"Spread evenly over its hours: {counted(begun, 'gathered amount')}."
    notes = (spread,) if begun else ()
    timed = TimedRain(
        np.array(starts, dtype="datetime64[m]"),
        np.array(depth) * mm_per("inches_hundredths"),
        60,
        missing,
        notes,
        min(hour.day for hour in hours).replace(day=1),
        _month_end(max(hour.day for hour in hours)),
        stations.pop(),
    )
    return step_rain(text, timed)


def _hours(text: RecordText) -> Iterator[Hour]:
    for number, line in enumerate(text.lines, start=1):
        if not line.strip():
            continue
        found = LINE.match(line)
        if found is None:
            raise text.bad(f"{line[:30]!r} is not a line of the hourly layout.", number)
        if found[2] != "HI":
            raise text.bad("Only depths in hundredths of an inch (HI) are read.", number)
        try:
            day = date(int(found[3]), int(found[4]), int(found[5]))
        except ValueError:
            raise text.bad(f"{line[17:27]!r} is not a date.", number) from None
        for start in range(FIRST_GROUP, len(line.rstrip()), GROUP_WIDTH):
            yield _hour(
                text, day, group=line[start : start + GROUP_WIDTH].ljust(GROUP_WIDTH), line=number
            )


def _hour(text: RecordText, day: date, *, group: str, line: int) -> Hour:
    found = GROUP.fullmatch(group)
    if found is None or not 1 <= int(found[1]) <= DAY_TOTAL:
        raise text.bad(f"{group!r} is not an hour with its depth.", line)
    return Hour(day, int(found[1]), int(found[3]), found[4].strip(), line)


def _start(hour: Hour) -> np.datetime64:
    """The hour named is the one at whose end the gauge was read."""
    return np.datetime64(hour.day, "m") + np.timedelta64(60 * (hour.hour - 1), "m")


def _gathered(listed: list[Hour]) -> "tuple[list[tuple[np.datetime64, float]], int]":
    spread: list[tuple[np.datetime64, float]] = []
    begun, count = None, 0
    for hour in listed:
        if hour.flag == "a":
            begun = _start(hour)
        elif hour.flag == "A" and hour.hundredths != NOTHING:
            first = begun if begun is not None else _start(hour)
            hours = int((_start(hour) - first).astype(np.int64)) // 60 + 1
            each = hour.hundredths / max(hours, 1)
            spread += [
                (first + np.timedelta64(60 * k, "m"), each) for k in range(min(hours, 24 * 62))
            ]
            begun, count = None, count + 1
    return spread, count


def _missing_days(hours: list[Hour]) -> frozenset[date]:
    missing = {hour.day for hour in hours if hour.flag == "I" and hour.hour == DAY_TOTAL}
    begun: date | None = None
    for hour in hours:
        if hour.hour == DAY_TOTAL:
            continue
        if begun is None and hour.flag and hour.flag in BEGUN_MISSING:
            begun = hour.day
            missing.add(begun)
        elif begun is not None and hour.flag and hour.flag in ENDED_MISSING:
            if timedelta(0) <= hour.day - begun <= timedelta(days=3660):
                missing |= days_between(begun, hour.day)
            begun = None
    return frozenset(missing)


def _missing_months(hours: list[Hour]) -> frozenset[date]:
    """Days of the months without a line: each month watched has at least its first day."""
    listed = {(hour.day.year, hour.day.month) for hour in hours}
    (year, month), last = min(listed), max(listed)
    missing: frozenset[date] = frozenset()
    while (year, month) < last and year - min(listed)[0] <= 400:
        if (year, month) not in listed:
            missing |= days_between(date(year, month, 1), _month_end(date(year, month, 1)))
        year, month = year + month // 12, month % 12 + 1
    return missing


def _month_end(day: date) -> date:
    return date(day.year + day.month // 12, day.month % 12 + 1, 1) - timedelta(days=1)
