"""The engine beside the same account in plain Python, pandas, numpy and C, in one process."""

import statistics
import time
from dataclasses import dataclass

import numpy as np

from benchmarks import c_loop, cases, other_loops
from eavewell.storage import balance
from eavewell.storage.balance import run

TIMES = 7
AT_LEAST_S = 0.5


@dataclass(frozen=True)
class Timed:
    """One line of the table; lane-days are days times lanes."""

    what: str
    lanes: int
    days: int
    seconds: float

    @property
    def giga(self):
        return self.lanes * self.days / self.seconds / 1e9


def timed(what, function, *, arrangement, times=TIMES):
    """The median of several runs, half a second of them where they are short."""
    days, lanes = arrangement.day_row.shape[0], arrangement.capacity_l.shape[1]
    seconds = []
    while len(seconds) < times or (times == TIMES and sum(seconds) < AT_LEAST_S):
        start = time.perf_counter()
        function(arrangement)
        seconds.append(time.perf_counter() - start)
    return Timed(what, lanes, days, statistics.median(seconds))


def engine_results(a):
    """The engine's results in the shape of the other loops'."""
    done = run(a)
    sums = done.sums
    rows = (sums.spilled_l, sums.supplied_l, sums.short_days, sums.longest_short_days)
    return np.stack([done.end_l[0], *(row[0] for row in rows)])


def agree(name, function, *, arrangement):
    ours, theirs = engine_results(arrangement), function(arrangement)
    np.testing.assert_allclose(theirs, ours[:, : theirs.shape[1]], rtol=1e-9, err_msg=name)


def one_store():
    """Every way of doing one store; slow ways on fewer sizes or days."""
    lines = [
        timed("engine, one store", run, arrangement=cases.one_store(lanes))
        for lanes in (200, 2000, 5000)
    ]
    lines.append(_engine_on_one_thread())
    slow = {
        "numpy over sizes": (other_loops.numpy_over_sizes, cases.one_store(200, 5_000), 3),
        "plain Python": (other_loops.plain_python, cases.one_store(4, 29_200), 3),
        "pandas, row by row": (other_loops.pandas_rows, cases.one_store(1, 1_000), 1),
    }
    if c_loop.compiler():
        loop = c_loop.compiled()
        for lanes in (200, 2000):
            slow[f"C, -O3 -march=native, {lanes} lanes"] = (loop, cases.one_store(lanes), TIMES)
    for name, (function, arrangement, times) in slow.items():
        agree(name, function, arrangement=arrangement)
        lines.append(timed(name, function, arrangement=arrangement, times=times))
    return lines


def _engine_on_one_thread():
    """2,000 lanes without threads, beside the C loop that has none."""
    before = balance.THREADS_ABOVE_LANES
    balance.THREADS_ABOVE_LANES = 10**9
    try:
        return timed("engine, one store, one thread", run, arrangement=cases.one_store(2000))
    finally:
        balance.THREADS_ABOVE_LANES = before


def general():
    """The general arrangement, and one lane of each."""
    return [
        timed("engine, general", run, arrangement=cases.general(200)),
        timed("engine, general", run, arrangement=cases.general(1000)),
        timed("engine, general", run, arrangement=cases.general(2000)),
        timed("engine, general, one lane", run, arrangement=cases.general(1)),
        timed(
            "engine, general, one lane kept",
            lambda a: run(a, keep_lane=0),
            arrangement=cases.general(1),
        ),
        timed("engine, one store, one lane", run, arrangement=cases.one_store(1)),
    ]


def report():
    """Time everything, after one run that prepares the engine, and print the table."""
    run(cases.general(8, days=10))
    lines = one_store() + general()
    base = lines[0].giga
    print(f"{'what':36}{'lanes':>7}{'days':>8}{'ms':>10}{'G lane-days/s':>16}{'of the first':>14}")
    for line in lines:
        speed = f"{line.giga:.5f}" if line.giga < 0.1 else f"{line.giga:.2f}"
        print(
            f"{line.what:36}{line.lanes:7}{line.days:8}{1000 * line.seconds:10.2f}"
            f"{speed:>16}{line.giga / base:14.5f}"
        )
    if not c_loop.compiler():
        print("\nNO gcc ON THIS MACHINE: the C loop was NOT compared. Install gcc and run again.")
