"""Numbers of an answer as a reader writes them."""

from dataclasses import dataclass
from datetime import date

from eavewell.site.place import Show
from eavewell.units import show

MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


@dataclass(frozen=True, slots=True)
class Sizes:
    """Prints sizes in one system, US or metric."""

    system: Show

    def volume(self, litres: float | None) -> str:
        """Volume in gallons or litres; a dash where unknown."""
        return "-" if litres is None else show(litres, "volume", system=self.system)

    def yearly(self, litres: float) -> str:
        """Volume in a year."""
        return f"{self.volume(litres)} a year"

    def daily(self, l_day: float | None) -> str:
        """Use in a day."""
        return "-" if l_day is None else show(l_day, "daily", system=self.system)

    def area(self, area_m2: float | None) -> str:
        """Area; a dash where unknown."""
        return "-" if area_m2 is None else show(area_m2, "area", system=self.system)

    def depth(self, depth_mm: float | None) -> str:
        """Depth of rain; a dash where unknown."""
        return "-" if depth_mm is None else show(depth_mm, "depth", system=self.system)

    def share(self, share: float) -> str:
        """A share in per cent; what is not the whole never reads 100 %."""
        return show(share, "share", system=self.system)


def day(iso: str | None) -> str:
    """A date such as 3 Oct 1956; a dash where there is none."""
    if iso is None:
        return "-"
    when = date.fromisoformat(iso)
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"


def count(number: float, one: str) -> str:
    """A number with its noun: 1 day, 1,204 days."""
    return f"{number:,.0f} {one}{'' if round(number) == 1 else 's'}"
