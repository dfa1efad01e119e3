"""A folder of many sites: every line of the register is kept, the designs of a few alone."""

from pathlib import Path

import pytest

from eavewell.web import desk
from eavewell.web.desk import Desk
from eavewell.web.site_folders import SiteFolders


def test_answers_stay_and_designs_go_with_the_longest_unused(
    sites: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk, "MOST_DESIGNS", 1)
    folders = SiteFolders(sites)
    folders.copy("barrels")
    on_desk, (first, second) = Desk(), folders
    answers = [on_desk.quick(one).answer for one in (first, second)]
    assert [on_desk.known(one).answer for one in (first, second)] == answers
    assert on_desk.known(first).design is None and on_desk.known(second).design is not None
    on_desk.quick(first)
    assert on_desk.known(first).design is not None and on_desk.known(second).design is None
    first.file.write_text("roof = [")
    second.file.write_text("roof = [")
    assert on_desk.quick(second).answer == answers[1] and on_desk.quick(second).faults
