"""What an owner lets the register of built systems know."""

from dataclasses import dataclass
from typing import Literal

Shared = Literal["service", "tests", "use", "money", "age", "supply"]


@dataclass(frozen=True, slots=True)
class Share:
    """What leaves the site folder besides whether the system works and the day it was last read.

    agreed : what the owner agreed to; () for nothing more.
    town   : where a field team looks for the site; "" is not told. The exact place never is.
    """

    agreed: tuple[Shared, ...] = ()
    town: str = ""
