"""The command line as a user runs it: time and peak memory of whole processes.

Run as a process of its own: a child's peak counts its parent's size at the start, and this parent
is small.
"""

import os
import random
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

SITE = Path(__file__).parent.parent / "examples" / "whole-house" / "site.toml"
TIMES = 5


def report():
    """Print seconds and peak memory of each command; say so where one cannot be run."""
    command = shutil.which("eavewell", path=Path(sys.executable).parent)
    if command is None:
        print("whole processes: skipped, the command line is not installed.")
        return
    print(f"{'whole process':36}{'first s':>10}{'median s':>10}{'peak MB':>10}")
    _line("eavewell --help", [command, "--help"])
    if not SITE.exists():
        print("eavewell design: skipped, the whole-house example is not there.")
        return
    _line("eavewell design, invented climate", [command, "design", str(SITE)])
    with tempfile.TemporaryDirectory() as folder:
        _line("eavewell design, record of 80 years", [command, "design", _on_a_record(folder)])


def _on_a_record(folder):
    """The whole house on 80 years of daily rain, invented, read from a csv file."""
    rng, first = random.Random(1), date(1940, 1, 1)
    days = (first + timedelta(days=n) for n in range((date(2020, 1, 1) - first).days))
    rain = (f"{day},{rng.gammavariate(0.7, 12.0) * (rng.random() < 0.2):.1f}" for day in days)
    Path(folder, "rain.csv").write_text("\n".join(["date,rain_mm", *rain]) + "\n")
    text, changed = re.subn(r"(?m)^climate = .*$", 'record = "rain.csv"', SITE.read_text())
    assert changed == 1
    site = Path(folder, "site.toml")
    site.write_text(text)
    return str(site)


def _line(name, arguments):
    seconds, peaks_mb = [], []
    for _ in range(TIMES):
        start = time.perf_counter()
        fault, peak_mb = _watched(arguments)
        seconds.append(time.perf_counter() - start)
        peaks_mb.append(peak_mb)
        if fault:
            print(f"{name}: skipped, {fault}")
            return
    middle = statistics.median(seconds)
    print(f"{name:36}{seconds[0]:10.2f}{middle:10.2f}{max(peaks_mb):10.0f}")


def _watched(arguments):
    """What went wrong, empty where nothing did, and the peak memory of one process."""
    with tempfile.TemporaryFile() as says, tempfile.TemporaryDirectory() as folder:
        process = subprocess.Popen(arguments, stdout=says, stderr=says, cwd=folder)
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        says.seek(0)
        last = (says.read().decode(errors="replace").split("\n")[:-1] or [""])[-1]
    fault = f"it ends with status {process.returncode}: {last}" if process.returncode else ""
    return fault, usage.ru_maxrss / 1024


if __name__ == "__main__":
    report()
