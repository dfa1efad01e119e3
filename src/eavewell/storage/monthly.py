"""A year on one page: the monthly balance of the manuals, for comparison with the daily one."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from eavewell.site.rain_record import FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class MonthlyBalance:
    """One tank month by month, in litres, each of shape (month,)."""

    collected_l: FloatArray
    wanted_l: FloatArray
    supplied_l: FloatArray
    end_l: FloatArray
    overflow_l: FloatArray

    @property
    def supplied_share(self) -> float:
        """Volumetric reliability: supplied over wanted; 1 where nothing is wanted."""
        wanted_l = float(self.wanted_l.sum())
        return float(self.supplied_l.sum()) / wanted_l if wanted_l else 1.0


def monthly_balance(
    collected_l: ArrayLike, wanted_l: ArrayLike, *, tank_l: float, opening_l: float = 0.0
) -> MonthlyBalance:
    """Monthly balance as the Texas manual teaches it: fill, draw, then spill.

    collected_l, wanted_l : of each month, shape (month,); one number serves every month.
    opening_l : water in the tank on the first morning.
    Source texas_manual_2005, chapter 4, recalled. A month hides the dry spells inside it and
    lets the tank overfill before it is drawn: for teaching, not for sizing.
    """
    collected, wanted = np.broadcast_arrays(
        np.asarray(collected_l, dtype=np.float64), np.asarray(wanted_l, dtype=np.float64)
    )
    supplied, end, overflow = [], [], []
    held = opening_l
    for came, want in zip(collected.ravel().tolist(), wanted.ravel().tolist(), strict=True):
        drawn = min(want, held + came)
        left = held + came - drawn
        held = min(tank_l, left)
        supplied.append(drawn)
        end.append(held)
        overflow.append(left - held)
    return MonthlyBalance(
        collected.ravel(), wanted.ravel(), np.array(supplied), np.array(end), np.array(overflow)
    )
