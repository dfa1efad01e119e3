"""The rows of the table: each budget, what was measured, the same work done otherwise, its bound.

`python -m benchmarks.budget_rows engine` prints the rows of one part as JSON. Each part is a
process of its own; those that start others load nothing heavy, as a child's peak counts its
parent's size.
"""

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[1]
OTHERS = ("plain Python", "pandas rows", "numpy", "C loop", "Calc")
TIMES = 5
TURNS, LONGEST_S = 200, 15.0


def row(what, budget, *, measured, kept=True, others=None, bound=""):
    """One row. kept : a truth, or words; others : name of a way -> its figure as text."""
    return {
        "what": what,
        "budget": budget,
        "measured": measured,
        "kept": kept or _under_load(),
        "others": others or {},
        "bound": bound,
    }


def engine():
    """One store and the general arrangement in G lane-days a second, one thread."""
    from benchmarks import bounds, calc_sheet, cases
    from benchmarks import engine as bench
    from benchmarks import other_loops as loops
    from eavewell.storage import balance

    balance.THREADS_ABOVE_LANES = 10**9
    balance.run(cases.general(8, days=10))
    rates = bounds.rates()
    one = _giga(balance.run, cases.one_store(200))
    ways = {
        "plain Python": (loops.plain_python, cases.one_store(4), 3),
        "pandas rows": (loops.pandas_rows, cases.one_store(1, 1_000), 1),
        "numpy": (loops.numpy_over_sizes, cases.one_store(200, 5_000), 3),
    }
    if bench.c_loop.compiler():
        ways["C loop"] = (bench.c_loop.compiled(), cases.one_store(200), TURNS)
    speeds = {
        name: _agreed(name, way[0], arrangement=way[1], times=way[2]) for name, way in ways.items()
    }
    if calc_sheet.office():
        speeds["Calc"] = _by_calc(cases.one_store(1))
    general = _giga(balance.run, cases.general(200))
    told = {name: _beside(speed, one) for name, speed in speeds.items()}
    rows_bytes = [8 * 200 * rows for rows in (bounds.ONE_STORE_ROWS, bounds.GENERAL_ROWS)]
    bound = rates.bound(
        1.0 / one,
        ops=bounds.ONE_STORE_OPS,
        moved=bounds.ONE_STORE_BYTES,
        rows_bytes=rows_bytes[0],
    )
    wide = rates.bound(1.0 / general, moved=bounds.GENERAL_BYTES, rows_bytes=rows_bytes[1])
    what = "one store, 200 sizes, 80 years, one thread; G lane-days/s"
    found = [
        row(what, "at least 2", measured=f"{one:.2f}", kept=one >= 2.0, others=told, bound=bound)
    ]
    if "C loop" in speeds:
        share = one / speeds["C loop"]
        found.append(
            row("of the C loop", "at least 0.5", measured=f"{share:.2f}", kept=share >= 0.5)
        )
    what = "general arrangement, 200 lanes, one thread; G lane-days/s"
    kept = general >= 0.2
    return [*found, row(what, "at least 0.2", measured=f"{general:.2f}", kept=kept, bound=wide)]


def _agreed(name, function, *, arrangement, times):
    """G lane-days a second of another way, which must agree with the engine first."""
    from benchmarks import engine as bench

    bench.agree(name, function, arrangement=arrangement)
    return _giga(function, arrangement, times=times)


def _giga(function, arrangement, *, times=TURNS):
    """G lane-days a second, of the fastest turn: the one that others at work disturbed least."""
    days, lanes = arrangement.day_row.shape[0], arrangement.capacity_l.shape[1]
    seconds = []
    while len(seconds) < times and sum(seconds) < LONGEST_S:
        start = time.perf_counter()
        function(arrangement)
        seconds.append(time.perf_counter() - start)
    return days * lanes / min(seconds) / 1e9


def _beside(speed, ours):
    """A figure and how many times as fast we are."""
    times = ours / speed
    return f"{speed:.2g}; {times:,.0f} times" if times > 10.0 else f"{speed:.2g}; {times:.2f} times"


def _by_calc(arrangement):
    """G lane-days a second of the workbook, which must agree too."""
    import numpy as np

    from benchmarks import calc_sheet, engine

    sums, seconds = calc_sheet.measured(arrangement)
    np.testing.assert_allclose(sums, engine.engine_results(arrangement), rtol=1e-9)
    return arrangement.runoff_mm.shape[0] / seconds / 1e9


def sump():
    """Thirty years of 5-minute rain through a sump."""
    from benchmarks import sump as bench
    from benchmarks.sampled import Sampled

    ms = bench.measured()
    within, runoff_l = bench.record()
    with Sampled() as sampled:
        for _ in range(50):
            bench.run_lift(bench.LIFT, runoff_l, within=within)
    others = {"plain Python": f"{ms['plain Python']:.0f} ms"}
    what = "a sump with its pump, 30 years of 5-minute rain"
    kept = ms["engine"] < 50.0
    told = f"{ms['engine']:.1f} ms"
    bound = f"ALU, one chain from event to event ({sampled.told})"
    return [row(what, "under 50 ms", measured=told, kept=kept, others=others, bound=bound)]


def processes():
    """Whole processes of the command line: wait, processor, peak."""
    from benchmarks.whole_process import SITE, _on_a_record

    command = shutil.which("eavewell", path=Path(sys.executable).parent)
    with tempfile.TemporaryDirectory() as folder:
        kept = {**os.environ, "NUMBA_CACHE_DIR": str(Path(folder, "cache"))}
        barrels = ROOT / "examples" / "barrels" / "site.toml"
        first = _process([command, "design", str(barrels)], times=1, env=kept)
        site = _on_a_record(folder)
        out = str(Path(folder, "papers"))
        asked = {
            "`eavewell --help`": (["--help"], 0.3, "under 0.3 s"),
            "`eavewell design`, 80 years": (["design", site], 3.0, "under 3 s"),
            "`eavewell papers`, 80 years": (["papers", site, "--out", out], 6.0, "under 6 s"),
        }
        rows = [_process_row("first run, nothing cached", "under 10 s", spent=first, least=10.0)]
        for what, (words, most, budget) in asked.items():
            spent = _process([command, *words], times=TIMES)
            rows.append(_process_row(what, budget, spent=spent, least=most, bound=_sampled(words)))
    assert SITE.exists()
    return rows


def _process_row(what, budget, *, spent, least, bound="compiling the engine, once"):
    wait, busy, peak = spent
    told = f"{wait:.2f} s, {busy:.2f} s of the processor, {peak:.0f} MB"
    return row(what, budget, measured=told, kept=_kept(wait < least, busy < least), bound=bound)


def _kept(by_wait, by_processor):
    """On a machine that others use, a wait may be missed that the work itself would keep."""
    return "kept by the processor" if by_processor and not by_wait else by_wait


def _process(arguments, *, times, env=None):
    """Median wait and time of the processor in seconds, peak in MB."""
    waits, busy, peaks = [], [], []
    for _ in range(times):
        start = time.perf_counter()
        running = subprocess.Popen(arguments, stdout=subprocess.DEVNULL, env=env)
        _, status, used = os.wait4(running.pid, 0)
        running.returncode = os.waitstatus_to_exitcode(status)
        assert running.returncode == 0, arguments
        waits.append(time.perf_counter() - start)
        busy.append(used.ru_utime + used.ru_stime)
        peaks.append(used.ru_maxrss / 1024.0)
    return statistics.median(waits), statistics.median(busy), max(peaks)


def _sampled(words):
    """Whose time it is, from a run of its own."""
    asked = [sys.executable, "-m", "benchmarks.sampled", *words]
    run = subprocess.run(asked, capture_output=True, text=True, check=True, cwd=ROOT)
    return run.stdout.splitlines()[-1]


def page():
    """A value changed on the page, 80 years: from the change to the new numbers."""
    from benchmarks import page as bench
    from benchmarks.sampled import Sampled
    from benchmarks.whole_process import SITE, _on_a_record

    with tempfile.TemporaryDirectory() as folder:
        site = Path(folder, "house")
        shutil.copytree(SITE.parent, site)
        _on_a_record(str(site))
        with Sampled() as sampled:
            taken = bench.taken(folder)
    ms = [wait for _, wait, _ in taken]
    busy = statistics.median(processor for _, _, processor in taken)
    middle, late = statistics.median(ms), statistics.quantiles(ms, n=20)[-1]
    told = f"median {middle:.0f} ms, p95 {late:.0f} ms; {busy:.0f} ms of the processor"
    what, budget = "page: a value changed, new numbers", "median under 150 ms, p95 under 300 ms"
    works = [processor for _, _, processor in taken]
    late_works = statistics.quantiles(works, n=20)[-1]
    told += f", {late_works:.0f} at p95"
    kept = _kept(middle < 150.0 and late < 300.0, busy < 150.0 and late_works < 300.0)
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(SITE.parent, Path(folder, "house"))
        cold = bench.cold_start_s(folder)
    start = "page: `eavewell open`, nothing loaded, to the first page"
    told_cold = f"{cold:.2f} s, median of {bench.STARTS}"
    return [
        row(what, budget, measured=told, kept=kept, bound=sampled.told),
        row(start, "under 1 s", measured=told_cold, kept=cold < 1.0),
    ]


def district():
    """Many roofs: rows of the table, and the figures of the curve and the estimate."""
    from benchmarks import district as bench

    command = shutil.which("eavewell", path=Path(sys.executable).parent)
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        bench.written(home)
        times = {bench.FEW: 3, bench.THOUSAND: 3, bench.SOME: 3, bench.MANY: 1}
        curve = [_many(bench, command, home=home, count=n, times=times[n]) for n in times]
        stored = sum(file.stat().st_size for file in (home / "out").rglob("*") if file.is_file())
        ratios = bench.ratios(command, home)
        words = [f"{home / str(bench.SOME)}.csv", "--records", str(home / "records")]
        bound = _sampled(["district", *words, "--out", str(home / "one"), "--workers", "1"])
    seconds, busy, peak = curve[3][1:]
    two = statistics.median(ratios)
    return [
        _whole_row(seconds, busy, peak=peak, bound=bound),
        _evenness(curve),
        row(
            "two workers beside one, median of five",
            "at least 1.6",
            measured=f"{two:.2f}",
            kept=two >= 1.6,
        ),
        {"curve": curve, "bytes": stored / bench.MANY, "two": None if _under_load() else two},
    ]


def _many(bench, command, *, home, count, times):
    """Roofs, wait, processor, peak: the median of several turns."""
    turns = [bench.taken(command, home, count=count, workers=2) for _ in range(times)]
    return (count, *(statistics.median(one) for one in zip(*turns, strict=True)))


def _whole_row(seconds, busy, *, peak, bound):
    told = f"{seconds:.0f} s, {busy:.0f} s of the processor, {peak:.0f} MB all processes"
    kept = _kept(seconds < 120.0, busy / 2.0 < 120.0)
    what = "100,000 roofs x 40 years x 20 sizes, two cores"
    return row(what, "under 120 s", measured=told, kept=kept, bound=bound)


def _evenness(curve):
    """A roof among 100,000 beside one among 10,000, start-up apart, and the memory of both."""
    some, many = _each_us(curve, at=2), _each_us(curve, at=3)
    wait, busy = (after / before for before, after in zip(some, many, strict=True))
    told = (
        f"{wait:.2f} times, {busy:.2f} by the processor; {curve[2][3]:.0f} and {curve[3][3]:.0f} MB"
    )
    kept = _kept(wait <= 1.1, busy <= 1.1)
    what = "a roof at 100,000 beside one at 10,000, memory"
    return row(what, "within 1.10, flat", measured=told, kept=kept)


def _under_load():
    """Words where others use the cores, so that a budget missed says nothing; else False."""
    load = os.getloadavg()[1]
    busy = load > 1.5 * (os.cpu_count() or 1)
    return f"not to be judged: a load of {load:.1f}" if busy else False


def _each_us(curve, *, at):
    """Wait and processor of a roof in microseconds, start-up apart."""
    few, found = curve[0], curve[at]
    return tuple(1e6 * (found[k] - few[k]) / (found[0] - few[0]) for k in (1, 2))


PARTS = {one.__name__: one for one in (engine, sump, processes, page, district)}

if __name__ == "__main__":
    print(json.dumps(PARTS[sys.argv[1]]()))
