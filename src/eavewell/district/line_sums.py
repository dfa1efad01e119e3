"""Sums of lines of roofs at every tank size, added part by part; they take the same room always."""

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    import polars

# litres of a mean year, and money; summed over the roofs of a line
LITRES = (
    *("supplied_l_year", "spilled_l_year", "kept_l_year", "make_up_l_year"),
    *("inflow_l_year", "wanted_l_year"),
)
MONEY = tuple(
    f"{what}{end}" for what in ("first_cost", "yearly_cost") for end in ("", "_low", "_high")
)
SHARES = ("supplied_share", "days_met_share", "reaches_goal")
# shares are counted by hundredths, so that their range takes no room
BINS = 100
# longer runs of short days are told as more than a year
LONGEST_RUN = 365


def run_counts(
    size_l: NDArray[np.float64], run_days: NDArray[np.int64], *, sizes_l: Sequence[float]
) -> NDArray[np.int64]:
    """Roofs by their longest run of short days, (size, days); the last place is for longer ones.

    size_l, run_days : of each roof and size. sizes_l : tank sizes, rising.
    """
    shape = len(sizes_l), LONGEST_RUN + 2
    size = np.searchsorted(np.array(sizes_l), size_l)
    at = size * shape[1] + np.clip(run_days, 0, LONGEST_RUN + 1).astype(np.int64)
    return np.bincount(at, minlength=shape[0] * shape[1]).reshape(shape).astype(np.int64)


def half_run_days(counts: NDArray[np.int64]) -> int:
    """The run of short days that half of the roofs have or fall below; counts : by days."""
    passed = counts.cumsum()
    return int(np.searchsorted(passed, 0.5 * passed[-1]))


class LineSums:
    """Lines of roofs; arrays of shape (line, size), money NaN where nothing is priced.

    counts : roofs by the hundredth of their supplied share, (line, size, hundredth).
    runs   : roofs by their longest run of short days, (line, size, days).
    """

    def __init__(self, lines: int, sizes_l: tuple[float, ...]) -> None:
        """Start with nothing in any line; sizes_l : tank sizes, rising."""
        self.sizes_l = sizes_l
        shape = lines, len(sizes_l)
        self.sums = {name: np.zeros(shape) for name in (*LITRES, *MONEY, *SHARES)}
        self.counts = np.zeros((*shape, BINS + 1), dtype=np.int64)
        self.runs = np.zeros((*shape, LONGEST_RUN + 2), dtype=np.int64)
        self.use_sets = [Counter[str]() for _ in range(lines)]

    def add(self, line: int, rows: "polars.DataFrame") -> None:
        """Add rows of roofs, one a roof and size, to a line."""
        size = np.searchsorted(np.array(self.sizes_l), rows["size_l"].to_numpy())
        for name, sums in self.sums.items():
            column = rows[name].cast(float).fill_null(np.nan).to_numpy()
            sums[line] += np.bincount(size, weights=column, minlength=len(self.sizes_l))
        hundredth = np.floor(rows["supplied_share"].to_numpy() * BINS).astype(np.int64)
        at = size * (BINS + 1) + np.clip(hundredth, 0, BINS)
        found = np.bincount(at, minlength=self.counts[line].size)
        self.counts[line] += found.reshape(self.counts[line].shape)
        days, size_l = (rows[one].to_numpy() for one in ("dry_days_in_worst_spell", "size_l"))
        self.runs[line] += run_counts(size_l, days, sizes_l=self.sizes_l)
        names, times = np.unique(rows["use_set"].to_numpy()[size == 0], return_counts=True)
        for name, count in zip(names.tolist(), times.tolist(), strict=True):
            self.use_sets[line][name] += count

    def roofs(self, line: int) -> int:
        """Number of roofs of a line."""
        return int(self.counts[line, 0].sum())

    def range(self, line: int, size: int, *, shares: Sequence[float]) -> tuple[float, float]:
        """Hundredths of the supplied share below whose ends such shares of the roofs lie."""
        passed = self.counts[line, size].cumsum()
        low, high = (int(np.searchsorted(passed, share * passed[-1])) / BINS for share in shares)
        return low, high
