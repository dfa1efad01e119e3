"""Dates as people write them; the order of day, month and year is settled by the whole column."""

import re
from collections.abc import Sequence
from datetime import date
from itertools import pairwise

import numpy as np

from eavewell.faults import BadRecord, Fault
from eavewell.files.rain.record_text import RecordText
from eavewell.site.rain_record import DayArray

ISO = re.compile(r"\d{4}-\d\d-\d\d(?=$|[T ])", re.ASCII)
COMPACT = re.compile(r"(\d{4})(\d\d)(\d\d)", re.ASCII)
NUMBERS = re.compile(r"(\d{1,4})[/.\- ](\d{1,2})[/.\- ](\d{1,4})(?=$|[T ])", re.ASCII)
NAMED = re.compile(r"(\d{1,2})[-/ .]+([a-z]{3,9})\.?[-/ ,]+(\d{4}|\d{2})(?=$|[t ])", re.ASCII)
NAME_FIRST = re.compile(r"([a-z]{3,9})\.? +(\d{1,2}),? +(\d{4}|\d{2})(?=$|[t ])", re.ASCII)
MONTHLY = re.compile(r"\d{4}-\d\d", re.ASCII)
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
MOST_FAULTS = 10

Triple = tuple[int, int, int]


def dates_of(text: RecordText, texts: Sequence[str], *, lines: Sequence[int]) -> DayArray:
    """Read a column of dates, shape (row,); a time of day behind a date is left out.

    ISO, yyyymmdd, year first, named months, day or month first, two-digit years. Where no row
    tells day from month, BadRecord asks; every date that is none is a fault with its line.
    """
    bare = [cell.strip() for cell in texts]
    if all(map(ISO.match, bare)):
        try:
            return np.array([cell[:10] for cell in bare], dtype="datetime64[D]")
        except ValueError:
            pass
    if bare and MONTHLY.fullmatch(bare[0]):
        raise text.bad(
            f"Dates such as {bare[0]!r} make this a monthly summary, not a daily record; "
            "bring in the station's daily record.",
            lines[0],
        )
    known = {cell: _triple(cell) for cell in set(bare)}
    _refuse(
        text, bare, lines=lines, wrong=[k for k, cell in enumerate(bare) if known[cell] is None]
    )
    triples = [triple for cell in bare if (triple := known[cell]) is not None]
    return _days(text, bare, lines=lines, triples=_year_first(text, triples))


def dates_from_parts(
    text: RecordText, parts: Sequence[Sequence[str]], *, lines: Sequence[int]
) -> DayArray:
    """Read dates from a year, a month and a day column."""
    shown = [
        "-".join(cell.strip().removesuffix(".0") for cell in row)
        for row in zip(*parts, strict=True)
    ]
    return dates_of(text, [re.sub(r"-(?=\d(-|$))", "-0", cell) for cell in shown], lines=lines)


def is_date(cell: str) -> bool:
    """True where a cell could be a date."""
    return _triple(cell.strip()) is not None


def _triple(cell: str) -> Triple | None:
    """Three numbers as written; a month by name is moved to the middle of day, month, year."""
    low = cell.lower()
    if found := NUMBERS.match(cell):
        a, b, c = (int(part) for part in found.groups())
        return (a, b, c)
    if found := COMPACT.fullmatch(cell):
        return (int(found[1]), int(found[2]), int(found[3]))
    if found := NAMED.match(low):
        return _named(int(found[1]), found[2], year=int(found[3]))
    if found := NAME_FIRST.match(low):
        return _named(int(found[2]), found[1], year=int(found[3]))
    return None


def _named(day: int, name: str, *, year: int) -> Triple | None:
    if name[:3] not in MONTHS:
        return None
    # Written year first, so that no two numbers are left to be told apart.
    return (_century(year), MONTHS.index(name[:3]) + 1, day)


def _year_first(text: RecordText, triples: list[Triple]) -> list[Triple]:
    if all(a > 31 for a, _, _ in triples):
        return [(_century(a), b, c) for a, b, c in triples]
    if any(a > 31 for a, _, _ in triples):
        raise text.bad("Some dates start with the year and some do not; write all of them alike.")
    firsts, seconds = max(a for a, _, _ in triples), max(b for _, b, _ in triples)
    if firsts <= 12 and seconds <= 12:
        raise text.bad(
            "No date tells day from month (none passes 12); write dates as year-month-day."
        )
    years = _full_years([c for _, _, c in triples])
    pairs = zip(years, triples, strict=True)
    if firsts > 12:
        return [(year, b, a) for year, (a, b, _) in pairs]
    return [(year, a, b) for year, (a, b, _) in pairs]


def _full_years(years: list[int]) -> list[int]:
    """Two-digit years by the order of the rows, counted back from the latest; else by today."""
    if max(years) > 99:
        return years
    walks = (years, years[::-1])
    rises = [sum((b - a) % 100 for a, b in pairwise(walk)) for walk in walks]
    if min(rises) > 100 + date.today().year % 100:
        return [_century(year) for year in years]
    backward = rises[1] < rises[0]
    walk = walks[backward]
    full = [_century(walk[-1])]
    for later, earlier in zip(walk[::-1], walk[-2::-1], strict=False):
        full.append(full[-1] - (later - earlier) % 100)
    return full if backward else full[::-1]


def _century(year: int) -> int:
    if year > 99:
        return year
    return year + (2000 if year <= date.today().year % 100 else 1900)


def _days(
    text: RecordText, bare: list[str], *, lines: Sequence[int], triples: list[Triple]
) -> DayArray:
    ordinals, wrong = np.zeros(len(triples), dtype=np.int64), []
    known: dict[Triple, int] = {}
    for k, triple in enumerate(triples):
        try:
            if triple not in known:
                known[triple] = date(*triple).toordinal()
            ordinals[k] = known[triple]
        except (ValueError, OverflowError):
            wrong.append(k)
    _refuse(text, bare, lines=lines, wrong=wrong)
    return (ordinals - 719163).astype("datetime64[D]")


def _refuse(text: RecordText, bare: list[str], *, lines: Sequence[int], wrong: list[int]) -> None:
    if not wrong:
        return
    faults = [
        Fault(f"{bare[k][:40]!r} is not a date; write year-month-day.", "", text.name, lines[k])
        for k in wrong[:MOST_FAULTS]
    ]
    if len(wrong) > MOST_FAULTS:
        faults.append(Fault(f"... and {len(wrong) - MOST_FAULTS} more.", "", text.name))
    raise BadRecord(faults)
