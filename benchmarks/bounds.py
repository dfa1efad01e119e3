"""What bounds a compiled loop: arithmetic, or moving its rows.

It is laid beside two rates of the same machine in the same run: arithmetic on values that stay in
registers, and moving rows of a working set as large as the loop's own. Whichever the loop's counted
operations and bytes would take longer for is what bounds it. (Hardware counters would say more; a
virtual machine often has none.)
"""

import time
from dataclasses import dataclass

import numba
import numpy as np

# of one_store.c and of the arrangement in cases.py, counted in their text; rain on a fifth of days
ONE_STORE_OPS, ONE_STORE_BYTES, ONE_STORE_ROWS = 0.2 * 6 + 14, 8 * (0.2 * 7 + 0.8 * 2 + 13), 11
# rows touched in a day by the general arrangement, each read or written
GENERAL_BYTES, GENERAL_ROWS = 8 * 75, 75


@dataclass(frozen=True)
class Rates:
    """Of one thread: G operations a second in registers, GB a second by bytes of working set."""

    giga_ops: float
    giga_bytes: dict

    def bound(self, ns, *, ops=0.0, moved, rows_bytes):
        """The words of the table for a loop that takes so long a lane-day."""
        alu = ops / self.giga_ops
        memory = moved / self.giga_bytes[rows_bytes]
        name = "ALU" if alu > memory else "memory"
        told = f"ALU alone {alu:.2f}, " if ops else ""
        return f"{name} ({told}rows alone {memory:.2f} of {ns:.2f} ns a lane-day)"


@numba.njit(cache=True)
def _reckon(values, times):
    """Sixteen operations on each value in a turn, four chains that do not wait for one another."""
    for _ in range(times):
        for i in range(values.size):
            x = values[i]
            a, b, c, d = x, x + 1.0, x + 2.0, x + 3.0
            a = max(min(a * 0.9 + 0.1, 8.0), 0.5)
            b = max(min(b * 0.8 + 0.2, 8.0), 0.5)
            c = max(min(c * 0.7 + 0.3, 8.0), 0.5)
            d = max(min(d * 0.6 + 0.4, 8.0), 0.5)
            values[i] = (a + b) + (c + d)


OPS = 3 + 4 * 4 + 3


@numba.njit(cache=True)
def _move(rows, times):
    """Each row is read and the next one written, over and over."""
    for _ in range(times):
        for r in range(rows.shape[0] - 1):
            for i in range(rows.shape[1]):
                rows[r + 1, i] = rows[r, i] + 1.0


def rates(*, lanes=200):
    """The machine's rates, as fast as the best of five turns."""
    values = np.linspace(0.0, 4.0, 512)
    ops = OPS * values.size * 20_000 / _best_s(lambda: _reckon(values, 20_000)) / 1e9
    moved = {}
    for count in (ONE_STORE_ROWS, GENERAL_ROWS):
        rows = np.ones((count, lanes))
        times = 40_000_000 // rows.size
        seconds = _best_s(lambda rows=rows, times=times: _move(rows, times))
        moved[rows.nbytes] = 16 * (count - 1) * lanes * times / seconds / 1e9
    return Rates(ops, moved)


def _best_s(function):
    function()
    spent = []
    for _ in range(5):
        start = time.perf_counter()
        function()
        spent.append(time.perf_counter() - start)
    return min(spent)
