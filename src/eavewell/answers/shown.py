"""Numbers and days of an answer as a reader writes them."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from eavewell.site.place import Show
from eavewell.units import show
from eavewell.weather.counted import counted

MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
PLURALS = ("days", "loads", "years", "papers")
ISO_DAY = re.compile(r"\b\d{4}-\d\d-\d\d\b")
# Units of a finding and the quantity that prints them.
QUANTITIES = {
    "L": "volume",
    "m2": "area",
    "share": "share",
    "km": "distance",
    "m": "length",
    "mm": "bore",
    "L/s": "flow",
    "L/day": "daily",
    "mm/h": "intensity",
    "m/s": "speed",
    "kg": "weight",
    "kPa": "ground_pressure",
    "m of water": "pressure",
    "W": "power",
    "min": "minutes",
    "h": "hours",
    "C": "temperature",
    "m/m": "fall",
    "mm of mesh": "mesh",
    "m/s of wind": "wind",
}


@dataclass(frozen=True, slots=True)
class Sizes:
    """Prints sizes in one system, US or metric."""

    system: Show

    def volume(self, litres: float | None) -> str:
        """Volume in gallons or litres; a dash where unknown."""
        return "-" if litres is None else show(litres, "volume", system=self.system)

    def daily(self, l_day: float | None) -> str:
        """Use in a day."""
        return "-" if l_day is None else show(l_day, "daily", system=self.system)

    def area(self, area_m2: float | None) -> str:
        """Area; a dash where unknown."""
        return "-" if area_m2 is None else show(area_m2, "area", system=self.system)

    def height(self, height_m: float) -> str:
        """A height above the sea, in whole feet or metres."""
        unit = "ft" if self.system == "us" else "m"
        return show(height_m, "length", system=self.system, unit=unit)

    def depth(self, depth_mm: float | None) -> str:
        """Depth of rain; a dash where unknown."""
        return "-" if depth_mm is None else show(depth_mm, "depth", system=self.system)

    def share(self, share: float) -> str:
        """A share in per cent; what is not the whole never reads 100 %."""
        return show(share, "share", system=self.system)

    def in_unit(self, value: float, unit: str) -> str:
        """A number of a finding in its unit."""
        if unit in QUANTITIES:
            return show(value, QUANTITIES[unit], system=self.system)
        # Whole numbers in full: never 4e+03 days, never 1 days.
        number = f"{value:,.0f}" if abs(value) >= 100.0 else f"{value:.3g}"
        one = number == "1" and unit.split(" ", maxsplit=1)[0] in PLURALS
        return f"{number} {unit.replace('s', '', 1) if one else unit}".rstrip()


def day(iso: str | None) -> str:
    """A date such as 3 Oct 1956; a dash where there is none."""
    if iso is None:
        return "-"
    when = date.fromisoformat(iso)
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"


def days_in_words(sentence: str) -> str:
    """A sentence whose dates read as on the rest of the page."""
    return ISO_DAY.sub(lambda found: day(found[0]), sentence)


def spell(first: str | None, last: str | None) -> str:
    """Two dates from first to last, or the one day."""
    return day(first) if first == last else f"{day(first)} to {day(last)}"


def count(number: float, one: str) -> str:
    """A number with its noun: 1 day, 1,204 days."""
    return counted(round(number), one)


def short_run(days: int, first: str, *, last: str) -> str:
    """A run of short days; where days without want lie between them, over how many days."""
    over = (date.fromisoformat(last) - date.fromisoformat(first)).days + 1
    if over == days:
        return f"{count(days, 'short day')}{' in a row' if days > 1 else ''}"
    return f"{count(days, 'short day')} in a row of those wanted, over {count(over, 'day')}"


def listed(words: Iterable[str]) -> str:
    """Words as a list in a sentence: a, b and c."""
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
