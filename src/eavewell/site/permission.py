"""What an owner has done about papers and permits."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class PaperDone:
    """A paper that was asked for; done : the day it was given, None while it is open."""

    name: str
    done: date | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class Permission:
    """Which authority, which days, which papers.

    authority : file of the authority, as seen from the site file; "" takes the model file.
    purchase, building, use : days on which buying, building and use begin; None unknown.
    """

    authority: str = ""
    purchase: date | None = None
    building: date | None = None
    use: date | None = None
    papers: tuple[PaperDone, ...] = ()
