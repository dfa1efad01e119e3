"""What a file of readings brings, and what is to be said of it."""

from dataclasses import dataclass

from eavewell.faults import Fault
from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.readings.questions import Question
from eavewell.site.entry import Reading


@dataclass(frozen=True, slots=True)
class Brought:
    """Readings by gauge, in the order of time.

    questions : figures that are taken as they came, and doubted. faults : what makes the file
    unreadable; then no reading is brought at all. notes : what was understood, left out, counted.
    """

    readings: tuple[ManyReadings, ...] = ()
    questions: tuple[Question, ...] = ()
    faults: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def entries(self) -> tuple[Reading, ...]:
        """The same readings one by one."""
        return tuple(one for many in self.readings for one in many.each())

    @property
    def count(self) -> int:
        """Number of readings."""
        return sum(many.count for many in self.readings)
