"""The invented rules, loaded from beside these tests."""

from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def by_hand():
    """Invented rules, sites and papers."""
    file = Path(__file__).parent / "rules_by_hand.py"
    spec = spec_from_file_location(file.stem, file)
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
