"""A server over a copy of the examples, asked without a network.

All servers share what they remember of stages, so that a site is worked out once; what is tried of
the remembering itself begins with nothing remembered.
"""

import shutil
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from eavewell.web import desk
from eavewell.web.app import pages
from eavewell.web.recall import Recall

EXAMPLES = Path(__file__).parents[2] / "examples"
MARK = {"x-eavewell-mark": "ours"}


REMEMBERED = Recall()


@pytest.fixture(autouse=True)
def _remembered(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    if not request.module.__name__.endswith("test_recall"):
        monkeypatch.setattr(desk, "Recall", lambda: REMEMBERED)


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
