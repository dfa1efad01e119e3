"""Files of readings brought in: any order of dates, any unit, one gauge or many."""

from eavewell.logbook.taken.brought import Brought
from eavewell.logbook.taken.file import read_file

__all__ = ["Brought", "read_file"]
