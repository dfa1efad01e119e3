"""Two papers that differ by few roofs are never handed on together."""

import numpy as np
import pytest

from eavewell.district.roof_rows import Roofs
from eavewell.district.told_before import digests_of, keep_told, nearly_told


def roofs(areas):
    count = len(areas)
    words = np.array([f"r{at}" for at in range(count)], dtype=object)
    one = np.ones(count)
    area = np.array(areas, dtype=float)
    return Roofs(np.arange(count), words, one, one, one, area, words, words, one, words)


def told(areas):
    return digests_of([roofs(areas[:10]), roofs(areas[10:])])


BEFORE = [100.0 + at for at in range(20)]


@pytest.mark.parametrize(
    ("now", "cautioned"),
    [
        (BEFORE, False),
        (BEFORE[:-1], True),
        ([*BEFORE, 5.0], True),
        ([1.0, *BEFORE[1:]], True),
        (BEFORE[:-4], True),
        (BEFORE[:-5], False),
        ([one + 0.5 for one in BEFORE], False),
    ],
    ids=["same", "one less", "one more", "one changed", "four less", "five less", "all others"],
)
def test_a_paper_that_differs_by_fewer_than_five_is_cautioned(tmp_path, now, cautioned):
    keep_told(tmp_path, told(BEFORE))
    assert bool(nearly_told(tmp_path, told(now))) == cautioned


def test_the_first_paper_has_none_before(tmp_path):
    assert nearly_told(tmp_path, told(BEFORE)) == ""
    (tmp_path / "told_roofs.txt").write_bytes(b"\xff\xfe")
    assert nearly_told(tmp_path, told(BEFORE)) == ""
