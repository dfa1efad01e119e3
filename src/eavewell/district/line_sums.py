"""Sums of lines of roofs at every tank size, added part by part; they take the same room always."""

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

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


class LineSums:
    """Lines of roofs; arrays of shape (line, size), money NaN where nothing is priced.

    counts : roofs by the hundredth of their supplied share, (line, size, hundredth).
    """

    def __init__(self, lines: int, sizes_l: tuple[float, ...]) -> None:
        """Start with nothing in any line; sizes_l : tank sizes, rising."""
        self.sizes_l = sizes_l
        shape = lines, len(sizes_l)
        self.sums = {name: np.zeros(shape) for name in (*LITRES, *MONEY, *SHARES)}
        self.counts = np.zeros((*shape, BINS + 1), dtype=np.int64)
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
