"""Write benchmarks/results.md: one table of every budget, the curve of many roofs, the estimate."""

import json
import os
import platform
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

from benchmarks.budget_rows import OTHERS, PARTS, ROOT, _each_us

HERE = Path(__file__).parent
ROOFS, CORES, BUDGET_TWO = 130_000_000, 64, 1.6
HOW = """
Loops of one thread count by their fastest turn of up to 200, the one that others at work disturbed
least. Of the rest the wait is judged, the median, with the processor's time beside it: *kept by the
processor* means that the wait was missed on a machine that others used, and would be kept alone. A
figure missed under a load of more than one and a half times the cores is *not to be judged*: run it
again. *Times* after another way's figure: how many times as fast the engine is at the same account,
which each way must reach to 1e-9 first. Calc is LibreOffice without a window on 29,200 rows of
formulas; its figure is the processor's time for working them out, without start-up, reading and
writing (the same file converted with and without working it out).

**What bounds it.** A compiled loop is laid beside two rates of the same machine in the same run:
arithmetic on values that stay in registers, and moving rows of a working set as large as the
loop's. Operations and bytes of a lane-day are counted in the text of the loop (15.2 and 128 for one
store, 75 rows for the general arrangement); whichever alone would take longer bounds it: *ALU* or
*memory*. What neither explains is starting loops. Other work is sampled every 2 ms by the innermost
frame of each thread: the engine, libraries (numpy, polars and the like), loading modules, our
Python. *Waiting* is what the process neither computed nor queued for a core: files, other
processes.
"""


def part(name):
    """The rows of one part, out of a process of its own."""
    print(f"{name} ...", file=sys.stderr, flush=True)
    asked = [sys.executable, "-m", "benchmarks.budget_rows", name]
    run = subprocess.run(asked, stdout=subprocess.PIPE, text=True, check=True, cwd=ROOT)
    return json.loads(run.stdout.splitlines()[-1])


def table(rows):
    """The one table in Markdown."""
    head = ["what", "budget", "measured", "", *OTHERS, "bound by"]
    lines = [head, ["---"] * len(head)]
    for one in rows:
        kept = {True: "kept", False: "missed"}.get(one["kept"], one["kept"])
        others = [one["others"].get(name, "") for name in OTHERS]
        lines.append([one["what"], one["budget"], one["measured"], kept, *others, one["bound"]])
    return "".join(f"| {' | '.join(line)} |\n" for line in lines)


def curve_table(curve):
    """A line for each count of roofs; start-up is the first line."""
    lines = ["| roofs | s | s of the processor | us a roof | of the processor | peak MB |\n"]
    lines.append("|---:|---:|---:|---:|---:|---:|\n")
    for at, (count, seconds, busy, peak) in enumerate(curve):
        each = " | ".join(_told_us(us) for us in _each_us(curve, at=at)) if at else " | "
        lines.append(f"| {count:,} | {seconds:.1f} | {busy:.1f} | {each} | {peak:.0f} |\n")
    return "".join(lines)


def _told_us(us):
    """Microseconds of a roof; below nothing, start-up varied by more than the roofs took."""
    return f"{us:.0f}" if us > 0.0 else "lost in start-up"


def estimate(found):
    """What 130 million roofs would take, with the arithmetic."""
    _, each = _each_us(found["curve"], at=3)
    two = found["two"] or BUDGET_TWO
    told = "did" if found["two"] else "are to do (not measured here, others used the cores)"
    hours, share = ROOFS * each / 3.6e9, min(two / 2.0, 1.0)
    minutes = 60.0 * hours / (CORES * share)
    stored = ROOFS * found["bytes"] / 1e12
    return (
        f"130 million roofs, 40 years, 20 sizes: 130,000,000 x {each:.0f} us of the processor = "
        f"{hours:,.1f} core-hours. Two workers {told} {two:.2f} times the work of one, a "
        f"share of {share:.2f}; if {CORES} cores did as well (not measured: nobody had them), "
        f"{hours:,.1f} h x 60 / ({CORES} x {share:.2f}) = {minutes:,.0f} minutes, start-up "
        "apart. "
        f"Results: {found['bytes']:,.0f} bytes a roof on the disk, {stored:.2f} TB in all. Every "
        "record is read once, and roofs of one record share its weather; here a record has some "
        "33,000 roofs. Reading the records is part of the start-up that was taken off, so a "
        "nation's some thousands of records come on top, each once.\n"
    )


def machine():
    """Processor, cores and versions, and how busy it was."""
    names = ("numpy", "numba", "pandas", "polars", "XlsxWriter")
    told = ", ".join(f"{name} {version(name)}" for name in names)
    load = " ".join(f"{one:.1f}" for one in os.getloadavg())
    cpu = next(
        (
            line.split(":")[1].strip()
            for line in Path("/proc/cpuinfo").read_text().splitlines()
            if line.startswith("model name")
        ),
        platform.machine(),
    )
    return f"{cpu}, {os.cpu_count()} cores; Python {platform.python_version()}, {told}; load {load}"


def main():
    """Measure every part and write the file."""
    before = machine()
    rows = [one for name in PARTS for one in part(name)]
    found = next(one for one in rows if "curve" in one)
    text = [
        "# Every budget in one run\n\nWritten by `make bench`; weather, sites and roofs are ",
        "invented. ",
        f"{before} before it, {' '.join(f'{one:.1f}' for one in os.getloadavg())} after it: ",
        "on a machine with a load above its cores every wait is longer than it need be.\n\n",
        table([one for one in rows if "curve" not in one]),
        HOW,
        "\n## From 1,000 roofs to 100,000\n\n",
        "Two workers, the median of three turns (100,000: one); the first line is start-up, taken ",
        "off.\n\n",
        curve_table(found["curve"]),
        "\n",
        estimate(found),
    ]
    (HERE / "results.md").write_text("".join(text), encoding="utf-8")
    print("".join(text))


if __name__ == "__main__":
    main()
