"""Water that is held back, and what holds it."""

from dataclasses import dataclass
from typing import Literal

MOST_STAGES = 4
HeldBy = Literal["outlet height", "float", "timer", "valve", "agreement", "unknown"]


@dataclass(frozen=True, slots=True)
class Reserve:
    """Water in a store that a use may not draw; exactly one of volume or share is set.

    volume_l : above the dead storage.
    share    : of the usable volume.
    held_by  : software cannot stop a gravity line; this names what does.
    """

    volume_l: float | None = None
    share: float | None = None
    held_by: HeldBy = "unknown"

    def litres(self, usable_l: float) -> float:
        """The volume held back in a store of this usable volume."""
        if self.volume_l is not None:
            return self.volume_l
        return (self.share or 0.0) * usable_l


@dataclass(frozen=True, slots=True)
class RationStage:
    """Below this much water in the stores drawn from, the use gets this share of its want."""

    below: Reserve
    share: float
