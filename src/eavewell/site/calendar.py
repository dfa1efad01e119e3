"""When somebody is there: weekdays, months, yearly seasons and exact dates."""

from dataclasses import dataclass
from datetime import date

MonthDay = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Calendar:
    """Days on which a use runs; every condition that is given must hold.

    weekdays : 0 Monday to 6 Sunday; empty means every weekday.
    months   : 1 to 12; empty means every month.
    seasons  : (first, last) as (month, day) pairs, both days included; a season may cross
               New Year; empty means the whole year.
    spans    : (first, last) exact dates, both included; empty means all dates.
    """

    weekdays: frozenset[int] = frozenset()
    months: frozenset[int] = frozenset()
    seasons: tuple[tuple[MonthDay, MonthDay], ...] = ()
    spans: tuple[tuple[date, date], ...] = ()

    @property
    def is_always(self) -> bool:
        """True where no condition is given."""
        return not (self.weekdays or self.months or self.seasons or self.spans)


ALWAYS = Calendar()
