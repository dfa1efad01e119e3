"""A use: somebody who draws water, in what order, and what happens when there is none."""

from dataclasses import dataclass
from typing import Literal

from eavewell.site.reserve import RationStage, Reserve
from eavewell.site.want import Want

EndUse = Literal["drinking", "indoor", "animals", "outdoor"]
Fallback = Literal["none", "mains", "hauled"]


@dataclass(frozen=True, slots=True)
class Use:
    """One use of the stored water.

    end_use    : the end-use class.
    priority   : 1 is served first.
    draws_from : stores in the order they are drawn.
    reserve    : level of each store below which this use is cut; None for none.
    stages     : ration stages, any order; of those reached the smallest share rules.
    fallback   : what makes up a shortage.
    leak_share : water lost on the way, as a share of the water drawn.
    spray      : True where it is thrown into the air; edible : True where it wets what is eaten
                 raw; dairy : True where it washes a dairy plant; None unknown.
    """

    name: str
    end_use: EndUse
    wants: tuple[Want, ...]
    draws_from: tuple[str, ...]
    priority: int = 1
    reserve: Reserve | None = None
    stages: tuple[RationStage, ...] = ()
    fallback: Fallback = "none"
    leak_share: float = 0.0
    spray: bool | None = None
    edible: bool | None = None
    dairy: bool | None = None
