"""When a task was last done: by an entry, or by the reading that the task asks for."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from eavewell.logbook.readings.counted import Counted
from eavewell.logbook.upkeep.noted import Noted
from eavewell.site.entry import Done, Note, Tested
from eavewell.site.gauge import Measures
from eavewell.site.site import Site

# tasks that a reading of such a gauge is the doing of
READ: dict[str, Measures] = {"read the level": "level", "read the meter": "meter"}
CHLORINE, FREE_CHLORINE = "measure the chlorine", "free chlorine"


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """What was done, and what was put off."""

    noted: Noted
    counted: Counted
    site: Site

    def last_done(self, task: str, thing: str) -> date | None:
        """The last day on which a task was done to a thing; None where no entry tells."""
        return max(self.days_done(task, thing), default=None)

    def days_done(self, task: str, thing: str) -> list[date]:
        """Every day on which a task was done to a thing, in order.

        An entry without a thing is of all of them.
        """
        entries = self._entries(task, thing)
        days = {self.noted.day(one.at) for one in entries if one.until is None}
        return sorted(days | set(self._read(task, thing)))

    def put_off(self, task: str, thing: str) -> Done | None:
        """The last entry that put a task off; None where it was done since."""
        last = None
        for one in self._entries(task, thing):
            last = one if one.until is not None else None
        done = self.last_done(task, thing)
        if last is None or (done is not None and done > self.noted.day(last.at)):
            return None
        return last

    def _entries(self, task: str, thing: str) -> Iterator[Done]:
        return (
            one
            for one in self.noted.done
            if same_words(one.task, task) and one.thing in ("", thing)
        )

    def _read(self, task: str, thing: str) -> Iterator[date]:
        if task in READ:
            things = (thing, *self._line_with(thing)) if thing else ()
            yield from self.counted.days_read(READ[task], *things)
        if task == CHLORINE:
            yield from (one.test.day for one in self.noted.tested if one.test.of == FREE_CHLORINE)

    def _line_with(self, thing: str) -> list[str]:
        """The line on which a meter stands: its gauge may be called by either."""
        return [
            line.name for line in self.site.lines if thing in (one.name for one in line.in_line)
        ]

    def first_day(self) -> date | None:
        """The first day of the log; None where it is empty."""
        log = self.noted
        dated: tuple[Done | Note | Tested, ...] = (*log.done, *log.notes, *log.tested)
        days = [log.day(one.at) for one in dated]
        days += [log.day(one.began) for one in log.outages]
        days += [log.day(one.came) for one in log.loads if one.came]
        first = self.counted.first_day()
        return min((*days, *([first] if first else [])), default=None)


def same_words(ours: str, theirs: str) -> bool:
    """Whether two names of a task are one, capitals or not."""
    return ours.strip().casefold() == theirs.strip().casefold()
