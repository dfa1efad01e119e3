"""Time the rooms one by one, then every budget in one table (results.md)."""

import platform
import subprocess
import sys

import numba
import numpy as np

from benchmarks import ahead, engine, hydraulics, logbook, sump, weigh


def main():
    """Print the machine and every room's figures, then write the one table."""
    print(f"{platform.machine()}, Python {platform.python_version()}, ", end="")
    print(f"numpy {np.__version__}, numba {numba.__version__}\n")
    engine.report()
    print()
    sump.report()
    print()
    hydraulics.report()
    print()
    weigh.report()
    print()
    ahead.report()
    print()
    logbook.report()
    print(flush=True)
    # a process of its own, and a small one: a child's peak counts its parent's size at the start
    subprocess.run([sys.executable, "-m", "benchmarks.results"], check=True)


if __name__ == "__main__":
    main()
