"""What a record is worth: gaps, marks, odd days and years, told in sentences."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from eavewell.faults import BadRecord, Fault
from eavewell.site.rain_record import Mark, RainRecord
from eavewell.tables import table
from eavewell.weather.counted import counted
from eavewell.weather.unit_slip import unit_slip
from eavewell.weather.years import full_years, runs_of, year_of_day

LEAST_DAYS = 365


@dataclass(frozen=True, slots=True)
class Quality:
    """What was found in a record.

    missing_by_year : share of each calendar year's days in the record that have no value.
    longest_gap_days, gap_from, gap_to : 0 and None where nothing is missing.
    suspicious_days : days above a plausible daily limit or with a reading that cannot be rain.
    far_off_years   : full years more than threefold off the median year, either way.
    zero_years      : full years without any rain.
    unit_slip       : a sentence where another unit is likely; "" where not.
    """

    first_day: date
    last_day: date
    years: float
    missing_share: float
    missing_by_year: dict[int, float]
    longest_gap_days: int
    gap_from: date | None
    gap_to: date | None
    flagged_days: int
    accumulated_days: int
    trace_days: int
    filled_days: int
    extended_days: int
    doubled_days: int
    suspicious_days: tuple[date, ...]
    far_off_years: tuple[int, ...]
    zero_years: tuple[int, ...]
    unit_slip: str
    sentences: tuple[str, ...]


def inspect(record: RainRecord) -> Quality:
    """Look a record over; BadRecord where it is too short, empty or dry to design on."""
    _refuse_hopeless(record)
    years = year_of_day(record)
    gaps = runs_of(record.missing)
    start, length = gaps[int(np.argmax(gaps[:, 1]))] if gaps.size else (0, 0)
    totals = {y: float(np.nansum(record.rain_mm[years == y])) for y in full_years(record)}
    found = Quality(
        first_day=record.first_day,
        last_day=record.last_day,
        years=record.days / 365.25,
        missing_share=float(record.missing.mean()),
        missing_by_year={
            int(y): float(record.missing[years == y].mean()) for y in np.unique(years)
        },
        longest_gap_days=int(length),
        gap_from=_day(record, start) if length else None,
        gap_to=_day(record, start + length - 1) if length else None,
        flagged_days=_marked(record, Mark.FLAGGED),
        accumulated_days=_marked(record, Mark.ACCUMULATED),
        trace_days=_marked(record, Mark.TRACE),
        filled_days=_marked(record, Mark.FILLED_NEIGHBOUR | Mark.FILLED_SEASON),
        extended_days=_marked(record, Mark.EXTENDED),
        doubled_days=_marked(record, Mark.DOUBLED),
        suspicious_days=_suspicious(record),
        far_off_years=_far_off(totals),
        zero_years=tuple(year for year, total_mm in totals.items() if total_mm == 0.0),
        unit_slip=unit_slip(record.rain_mm),
        sentences=(),
    )
    return _with_sentences(found, record)


def _refuse_hopeless(record: RainRecord) -> None:
    faults = []
    if record.days < LEAST_DAYS:
        faults.append(
            f"The record holds {counted(record.days, 'day')} "
            f"({record.first_day} to {record.last_day}); "
            "a design needs a whole year at least, and 30 years to meet a drought."
        )
    if record.missing.all():
        faults.append("No day of the record holds a value; bring in another station.")
    elif float(np.nansum(record.rain_mm)) == 0.0:
        faults.append(
            "No rain fell in the whole record; it looks like the wrong column or station."
        )
    elif record.days >= LEAST_DAYS and int((~record.missing).sum()) < LEAST_DAYS:
        faults.append(
            f"Only {counted(int((~record.missing).sum()), 'day')} of the record can be read; "
            "a design needs a whole year of them at least."
        )
    if faults:
        raise BadRecord(Fault(says, file=record.name) for says in faults)


def _day(record: RainRecord, row: int) -> date:
    return record.first_day + timedelta(days=int(row))


def _marked(record: RainRecord, mark: Mark) -> int:
    return int(np.count_nonzero(record.marks & np.uint16(mark)))


def _suspicious(record: RainRecord) -> tuple[date, ...]:
    limit_mm = table("rain_limits")["suspicious_day"].value
    marked = (record.marks & np.uint16(Mark.SUSPICIOUS)) > 0
    rows = np.flatnonzero((record.rain_mm > limit_mm) | marked)
    return tuple(_day(record, row) for row in rows.tolist())


def _far_off(totals: dict[int, float]) -> tuple[int, ...]:
    if len(totals) < 5:
        return ()
    middle, ratio = (
        float(np.median(list(totals.values()))),
        table("rain_limits")["far_off_ratio"].value,
    )
    return tuple(y for y, mm in totals.items() if mm > middle * ratio or mm < middle / ratio)


def _with_sentences(found: Quality, record: RainRecord) -> Quality:
    says = [f"{record.name}: {found.first_day} to {found.last_day}, {found.years:.1f} years."]
    if found.longest_gap_days:
        says.append(
            f"{found.missing_share:.1%} of the days are missing; the longest gap is "
            f"{counted(found.longest_gap_days, 'day')}, {found.gap_from} to {found.gap_to}."
        )
    says += _counts(found)
    if found.suspicious_days:
        says.append(
            f"Suspicious depths on {counted(len(found.suspicious_days), 'day')}, first "
            f"{found.suspicious_days[0]}: look before you trust the record."
        )
    if found.far_off_years:
        says.append(f"Years far from the middle one: {', '.join(map(str, found.far_off_years))}.")
    if found.zero_years:
        says.append(f"Years without any rain: {', '.join(map(str, found.zero_years))}.")
    sentences = (*says, *([found.unit_slip] if found.unit_slip else []))
    return replace(found, sentences=sentences)


def _counts(found: Quality) -> list[str]:
    """Doubled days and those that failed a service's checks are told by the readers' notes."""
    told = {
        "Totals over several days were shared out over": found.accumulated_days,
        "Filled where nothing was measured:": found.filled_days,
        "Taken from a neighbour's longer record:": found.extended_days,
    }
    return [f"{what} {counted(days, 'day')}." for what, days in told.items() if days]
