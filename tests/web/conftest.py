"""A server over a copy of the examples, asked without a network."""

import shutil
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from eavewell.web.app import pages

EXAMPLES = Path(__file__).parents[2] / "examples"
MARK = {"x-eavewell-mark": "ours"}


@pytest.fixture
def sites(tmp_path: Path) -> Path:
    """A folder with the site of the barrels."""
    shutil.copytree(EXAMPLES / "barrels", tmp_path / "barrels")
    return tmp_path


@pytest.fixture
def client(sites: Path) -> TestClient:
    """What asks the server, with the mark that our pages carry."""
    return TestClient(pages(sites, mark="ours"), base_url="http://127.0.0.1", headers=MARK)


@pytest.fixture
def whole_house(sites: Path) -> Path:
    """The same folder, with the site of the whole house beside."""
    shutil.copytree(EXAMPLES / "whole-house", sites / "whole-house")
    return sites
