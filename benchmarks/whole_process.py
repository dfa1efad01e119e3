"""The command line as a user runs it: time and peak memory of whole processes.

Run as a process of its own: a child's peak counts its parent's size at the start, and this parent
is small.
"""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
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
    if SITE.exists():
        _line("eavewell design, whole house", [command, "design", str(SITE)])
    else:
        print("eavewell design: skipped, the whole-house example is not there.")


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
