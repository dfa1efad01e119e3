"""The reader of fenced blocks and what pages rest on, for the tests of the pages."""

import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest


def _beside(name):
    spec = spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    module = module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def fences():
    """The fenced blocks of a page."""
    return _beside("fences")


@pytest.fixture(scope="session")
def prepared():
    """What a page rests on and does not write itself."""
    return _beside("prepared").PREPARED
