"""What a check found."""

from dataclasses import dataclass
from typing import Literal

# the source of a limit that nobody published
COMMON = "common practice, no source"
HEALTH_DECIDES = "Screening, not design approval; the health department decides."

Change = tuple[tuple[str, ...], str | int | None]
Level = Literal["stop", "fix", "watch", "note"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One check on a finished design.

    level    : stop (do not build), fix, watch, note.
    where    : the thing it belongs to.
    says     : a sentence for the reader.
    measured, limit : in `unit`; None where it could not be measured.
    source   : where the limit comes from.
    fix      : the smallest change that passes, "" where none is needed or known.
    reach    : the reach of the water it belongs to, from sky to tap.
    changes  : the fix as fields of the site file, each its address and what it should say, None
               where it should be left out; empty where the way out is work or a choice.
    """

    code: str
    level: Level
    where: str
    says: str
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = ""
    fix: str = ""
    reach: str = ""
    changes: tuple[Change, ...] = ()
