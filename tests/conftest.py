"""Tools that tests of several rooms share, loaded from beside their own tests."""

import os
import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest

# as the command line sets it; numpy reads it once, when it is first loaded
NUMPY_WAS_LOADED = "numpy" in sys.modules
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def _beside(place):
    file = Path(__file__).parent / place
    spec = spec_from_file_location(file.stem, file)
    module = module_from_spec(spec)
    sys.modules[file.stem] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def numpy_was_loaded():
    """Whether numpy was there before its threads could be set."""
    return NUMPY_WAS_LOADED


@pytest.fixture(scope="session")
def arranging():
    """Stores, roofs, uses, lifts and trucks as the engine wants them, drawn or by hand."""
    return _beside("storage/arranging.py")


@pytest.fixture(scope="session")
def slow_day_loop():
    """The second, slow day loop."""
    return _beside("storage/slow_day_loop.py")


@pytest.fixture(scope="session")
def making():
    """Small made-up sites, days and records."""
    return _beside("making.py")


@pytest.fixture(scope="session")
def simulated():
    """A simulated truth and the log that it would leave."""
    return _beside("logbook/simulated.py")


@pytest.fixture(scope="session")
def made_up_eaves(making):
    """A small made-up roof with gutters, and invented storms over it."""
    return _beside("hydraulics/made_up_eaves.py")


@pytest.fixture(scope="session")
def made_up_lift():
    """A small made-up barn with a sump and its lift."""
    return _beside("hydraulics/made_up_lift.py")


@pytest.fixture(scope="session")
def made_up_pipes(making):
    """Small made-up pipes from roofs to a tank under one invented storm."""
    return _beside("hydraulics/made_up_pipes.py")


@pytest.fixture(scope="session")
def made_up_tanks():
    """A small made-up tank, and a row of two, with everything fitted."""
    return _beside("hydraulics/made_up_tanks.py")


@pytest.fixture(scope="session")
def made_up_barriers():
    """A made-up house line with filters, lamp and chlorine, and its water."""
    return _beside("treatment/made_up_barriers.py")


@pytest.fixture(scope="session")
def set_papers(making):
    """The papers of a design as text, of the examples and of small made-up sites."""
    return _beside("papers/set_papers.py")


@pytest.fixture(scope="session")
def figures_told():
    """Which figures each paper must show, and where on it."""
    return _beside("papers/figures_told.py")


@pytest.fixture(scope="session")
def keeping():
    """A log kept in memory."""
    return _beside("logbook/keeping.py")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """One more than there are cores: tests of servers and browsers wait more than they work."""
    return (os.cpu_count() or 1) + 1
