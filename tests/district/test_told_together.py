"""What two papers tell together, against every sum and difference of their lines."""

import itertools
import random
from collections import Counter

import numpy as np
import polars

from eavewell.district.grouped import few, grouped
from eavewell.district.told_together import LINES, may_tell_few


def paper(roofs):
    """The lines of a paper; roofs : id -> (district, record, figure)."""
    groups = grouped(Counter((d, r) for d, r, _ in roofs.values()))
    districts, records = (
        {cell: one.name for one in some if one.told for cell in one.cells}
        for some in (groups.districts, groups.records)
    )
    return polars.DataFrame(
        {
            "id": list(roofs),
            "district": [districts[d, r] for d, r, _ in roofs.values()],
            "record": [records[d, r] for d, r, _ in roofs.values()],
            "water@100.0": [figure for _, _, figure in roofs.values()],
        },
        schema_overrides={"water@100.0": polars.UInt64},
    )


def drawn(draw):
    """Two papers over nearly the same roofs: some leave, come, move, or are told otherwise."""
    wards, gauges = draw.randint(1, 3), draw.randint(1, 2)
    first = {
        at: (f"d{draw.randrange(wards)}", f"r{draw.randrange(gauges)}", at)
        for at in range(draw.randint(8, 40))
    }
    then = dict(first)
    for at in list(then):
        chance = draw.random()
        _, record, figure = then[at]
        if chance < 0.05:
            del then[at]
        elif chance < 0.10:
            then[at] = (f"d{draw.randrange(wards)}", record, figure)
    if draw.random() < 0.5:
        changed = draw.choice((2, 4, 8, 30))
        for at in draw.sample(sorted(then), min(changed, len(then))):
            then[at] = (*then[at][:2], 1000 + at)
    for at in range(100, 100 + draw.choice((0, 0, 1, 3, 6))):
        then[at] = (f"d{draw.randrange(wards)}", f"r{draw.randrange(gauges)}", at)
    return first, then


def lines_of(frame, items):
    """Every line of a paper, and all its roofs, over (roof, figure)."""
    held = {}
    for id_, district, record, figure in frame.rows():
        for key in ("all", ("d", district), ("r", record)):
            held.setdefault(key, np.zeros(len(items), dtype=int))[items[id_, figure]] = 1
    return list(held.values())


def fewest(before, now):
    """Fewest roofs that a sum of lines, each added, taken away or left, holds."""
    keys = {(row[0], row[3]) for frame in (before, now) for row in frame.rows()}
    items = {key: at for at, key in enumerate(sorted(keys))}
    lines = np.array([*lines_of(before, items), *lines_of(now, items)])
    signs = np.array(list(itertools.product((-1, 0, 1), repeat=len(lines))))
    held = (signs @ lines) != 0
    ids = sorted({id_ for id_, _ in items})
    of = np.array([[id_ == one for one in ids] for id_, _ in sorted(items)], dtype=int)
    roofs = ((held @ of) > 0).sum(axis=1)
    return int(roofs[roofs > 0].min())


def test_what_any_sum_of_lines_tells_of_few_is_found():
    draw, told, clear = random.Random(5), 0, 0
    while told + clear < 300:
        first, then = drawn(draw)
        if few(len(first)) or few(len(then)):
            continue
        before, now = paper(first), paper(then)
        names = [frame[name].n_unique() for frame in (before, now) for name in LINES]
        if sum(names) > 7:
            continue
        if few(fewest(before, now)):
            assert may_tell_few(before, now), (first, then)
            told += 1
        else:
            clear += 1
    assert told > 50, told
    assert clear > 50, clear


def test_the_same_paper_again_tells_nothing():
    draw = random.Random(6)
    for _ in range(100):
        first, _ = drawn(draw)
        assert not may_tell_few(paper(first), paper(first))
