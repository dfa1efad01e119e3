"""Time the engine, then whole processes and the pages."""

import platform
import subprocess
import sys

import numba
import numpy as np

from benchmarks import ahead, engine, hydraulics, logbook, sump, weigh


def main():
    """Print the machine and every table."""
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
    for name in ("whole_process", "page", "district"):
        subprocess.run([sys.executable, "-m", f"benchmarks.{name}"], check=True)
        print(flush=True)


if __name__ == "__main__":
    main()
