"""Time the engine, then whole processes."""

import platform
import subprocess
import sys

import numba
import numpy as np

from benchmarks import engine, hydraulics, sump, weigh


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
    print(flush=True)
    subprocess.run([sys.executable, "-m", "benchmarks.whole_process"], check=True)


if __name__ == "__main__":
    main()
