"""The hand-written C loop, compiled when the benchmark runs."""

import ctypes
import shutil
import subprocess
from pathlib import Path

import numpy as np

from eavewell.storage.balance import aligned

HERE = Path(__file__).parent
FLAGS = ("-O3", "-march=native", "-shared", "-fPIC")


def compiler():
    """gcc, or None, in which case the comparison with C is missing."""
    return shutil.which("gcc")


def compiled():
    """The C loop as a function of a one-store arrangement, results as in other_loops."""
    build = HERE / "build"
    build.mkdir(exist_ok=True)
    library = build / "one_store.so"
    source = HERE / "one_store.c"
    subprocess.run([compiler(), *FLAGS, "-o", library, source], check=True)
    function = ctypes.CDLL(str(library)).one_store

    def run(a):
        days, lanes = a.runoff_mm.shape[0], a.capacity_l.shape[1]
        given = [
            _row(a.area_m2[0]),
            _row(a.capacity_l[0]),
            _row(a.scale[0]),
            _row(a.reserve_l[0, 0]),
        ]
        level, left, spilled, supplied, short, run, longest = aligned((7, lanes + -lanes % 8))
        level[:lanes] = a.start_l[0]
        by_day = [np.ascontiguousarray(a.runoff_mm[:, 0]), np.ascontiguousarray(a.demand_l[:, 0])]
        rows = [*by_day, *given, level, left, spilled, supplied, short, run, longest]
        places = (ctypes.c_void_p(row.ctypes.data) for row in rows)
        function(ctypes.c_long(days), ctypes.c_long(lanes), *places)
        return np.stack([level, spilled, supplied, short, longest])[:, :lanes]

    return run


def _row(values):
    row = aligned(values.shape)
    row[:] = values
    return row
