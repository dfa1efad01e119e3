"""What tests of the log share: a site in a folder of its own, a database, a broker."""

import sys
from importlib.util import module_from_spec, spec_from_file_location
from itertools import count
from pathlib import Path

import pytest

from eavewell.site.gauge import Log

ZONE = "America/Chicago"
_NUMBERS = count(1)


@pytest.fixture(scope="session")
def servers():
    """Servers that a test begins and stops."""
    file = Path(__file__).parent / "servers.py"
    spec = spec_from_file_location(file.stem, file)
    module = sys.modules[file.stem] = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def postgres(servers):
    """A database server."""
    with servers.postgres() as running, pytest.MonkeyPatch.context() as told:
        told.setenv("EAVEWELL_LOG_SERVER", f"127.0.0.1:{running.port}")
        yield running


@pytest.fixture(params=["a file", "an office's database"])
def kept_in(request):
    """Where a log is kept: "" in a file, else the address of an empty database."""
    if request.param == "a file":
        return ""
    return request.getfixturevalue("postgres").database(f"logs{next(_NUMBERS)}")


@pytest.fixture
def logged_site(making, tmp_path):
    """Makes the site whose log is kept somewhere."""

    def made(kept_in="", *, zone=ZONE, folder=tmp_path, **log):
        return making.site(log=Log(kept_in, zone=zone, **log), folder=str(folder))

    return made
