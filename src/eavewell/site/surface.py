"""What rain touches on a roof and beside it, for the question what its water may be used for."""

from dataclasses import dataclass
from typing import Literal

Amount = Literal["none", "few", "many", "unknown"]


@dataclass(frozen=True, slots=True)
class Surface:
    """Everything on a roof that the water meets; "unknown" and None stay unknown.

    flashing : as in tables/roof_fitness.csv, e.g. "galvanised steel", "lead"; "" unknown.
    paint    : as there, e.g. "none", "lead-free", "lead"; "" unknown.
    treated_timber : True where treated wood drains onto it.
    trees, birds   : how many hang over or sit on it.
    flue     : True where smoke of a stove or engine settles on it.
    panels   : True where solar panels stand on it.
    cleared  : document that answers what its maker or a surveyor has to be asked; "" for none.
    """

    flashing: str = ""
    paint: str = ""
    treated_timber: bool | None = None
    trees: Amount = "unknown"
    birds: Amount = "unknown"
    flue: bool | None = None
    panels: bool | None = None
    cleared: str = ""
