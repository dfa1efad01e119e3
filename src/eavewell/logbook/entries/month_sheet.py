"""A month of readings from paper: a line for each day and gauge, as the printed log sheet has."""

import calendar
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from types import MappingProxyType
from typing import Any

from eavewell.faults import BadLog
from eavewell.logbook.entries.asked import bare_unit
from eavewell.logbook.entries.looked_at import Line
from eavewell.logbook.entries.said import zone
from eavewell.logbook.entries.shown import Words
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.midnights import instant_of
from eavewell.logbook.store.store import Store
from eavewell.papers.log_sheets import UNITS
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site
from eavewell.tables import rows

Plain = dict[str, Any]
SHEETS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"level": ("level",), "meter": ("meter", "make-up"), "rain": ("rain",)}
)
MOST_A_DAY = 3
BOXES = ("hour", "said", "who", "note")


@dataclass(frozen=True, slots=True)
class Month:
    """A month of a year, as "2027-03"."""

    year: int
    month: int

    @property
    def days(self) -> tuple[date, ...]:
        """Every day of it."""
        count = calendar.monthrange(self.year, self.month)[1]
        return tuple(date(self.year, self.month, one + 1) for one in range(count))

    def __str__(self) -> str:
        return f"{self.year:04d}-{self.month:02d}"


def month_said(text: str, *, now: datetime) -> Month:
    """The month that is meant; this one where nothing is said. BadLog for what is none."""
    said = text.strip() or f"{now:%Y-%m}"
    try:
        day = date.fromisoformat(f"{said}-01")
    except ValueError:
        day = None
    if day is None or not 1900 <= day.year < 2200:
        raise BadLog(f"'{text}' is no month such as 2027-03.")
    return Month(day.year, day.month)


def sheets_of(site: Site) -> tuple[str, ...]:
    """The sheets for which the site has a gauge that somebody reads."""
    return tuple(sheet for sheet in SHEETS if gauges_on(site, sheet))


def gauges_on(site: Site, sheet: str) -> tuple[Gauge, ...]:
    """The gauges of a sheet; those that send their figures are left out."""
    if sheet not in SHEETS:
        raise BadLog(f"There is no sheet '{sheet}': it must be one of {', '.join(SHEETS)}.")
    found = (one for one in gauges_of(site) if one.measures in SHEETS[sheet])
    return tuple(one for one in found if one.feed is None)


def month_answer(site: Site, store: Store, *, sheet: str, month: Month) -> Plain:
    """The sheet of a month: heads as they are printed, and a line for each day and gauge."""
    gauges = gauges_on(site, sheet)
    row = next(row for row in rows("log_sheets") if row["sheet"] == sheet)
    heads = row["columns"].format_map(UNITS[site.place.show]).split("|")
    stand = {one.name: _standing(site, store, gauge=one, month=month) for one in gauges}
    return {
        "sheet": sheet,
        "title": row["title"],
        "when": row["when"],
        "heads": heads,
        "month": str(month),
        "called": f"{month.days[0]:%B %Y}",
        "example": _example(sheet, site=site),
        "sheets": list(sheets_of(site)),
        "lines": [
            {
                "line": line_name(day, at),
                "day": day.isoformat(),
                "weekday": f"{day:%a}",
                "gauge": gauge.name,
                "unit": bare_unit(gauge, site.place.show),
                "stands": stand[gauge.name].get(day, []),
            }
            for day in month.days
            for at, gauge in enumerate(gauges)
        ],
    }


def _example(sheet: str, *, site: Site) -> str:
    """How a level in two figures is read; "" where none is."""
    return "3 5 is 3 ft 5 in" if sheet == "level" and site.place.show == "us" else ""


def line_name(day: date, at: int) -> str:
    """What a line is called: the day of the month, and the row of its gauge on the sheet."""
    return f"{day.day}-{at}"


def _standing(site: Site, store: Store, *, gauge: Gauge, month: Month) -> dict[date, list[Plain]]:
    """What the log holds of each day; of many readings how many there are."""
    clock = zone(site)
    first, after = month.days[0], month.days[-1] + timedelta(days=1)
    taken = store.readings(gauge.name, _begun(first, clock), until=_begun(after, clock))
    keys: dict[date, list[int]] = {}
    for at_utc, key in zip(taken.at_utc, taken.keys.tolist(), strict=True):
        keys.setdefault(instant_of(at_utc).astimezone(clock).date(), []).append(key)
    return {
        day: [_stands(site, store, key=key, clock=clock) for key in some]
        if len(some) <= MOST_A_DAY
        else [{"hour": "", "says": f"{len(some):,} readings", "who": ""}]
        for day, some in keys.items()
    }


def _begun(day: date, clock: tzinfo | None) -> datetime:
    """Midnight of a day; by this computer's clock where the site names none."""
    midnight = datetime.combine(day, datetime.min.time())
    return midnight.astimezone() if clock is None else midnight.replace(tzinfo=clock)


def _stands(site: Site, store: Store, *, key: int, clock: tzinfo | None) -> Plain:
    entry = store.entry("reading", key)
    assert isinstance(entry, Reading)
    hour = f"{entry.at.astimezone(clock):%H:%M}"
    return {"hour": hour, "says": Words(site).figure(entry), "who": entry.who}


def lines_said(
    site: Site, told: Mapping[str, str], *, sheet: str, month: Month
) -> tuple[Line, ...]:
    """The lines of a sheet in which a figure was written, in the order of days.

    told : box by "BOX-DAY-ROW", such as "said-7-0", and "hour" and "who" of all lines that do not
    say otherwise.
    """
    found = []
    for day in month.days:
        for at, gauge in enumerate(gauges_on(site, sheet)):
            box = {name: told.get(f"{name}-{line_name(day, at)}", "").strip() for name in BOXES}
            if box["said"]:
                hour = box["hour"] or told.get("hour", "").strip()
                words = {
                    "gauge": gauge.name,
                    "said": box["said"],
                    "at": f"{day.isoformat()} {_clock(hour)}".strip(),
                    "who": box["who"] or told.get("who", "").strip(),
                    "note": box["note"],
                }
                found.append(Line(line_name(day, at), "reading", words))
    return tuple(found)


def _clock(hour: str) -> str:
    """A bare hour, such as 7, is one of the clock."""
    return f"{hour}:00" if hour.isdecimal() and len(hour) <= 2 else hour
