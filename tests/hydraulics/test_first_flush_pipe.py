"""The standpipe of a first flush: length, time to empty, what it takes of a record."""

import math
from dataclasses import replace

import numpy as np
import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.first_flush_pipe import (
    empties_h_through_hole,
    flush_loss,
    flush_pipes,
    hole_mm_to_empty,
    lengths_by_size,
    standpipe_length_m,
    usual_gap_days,
)
from eavewell.site.first_flush import FirstFlush


def with_flush(making, **fields):
    return replace(making.roof(area_m2=100.0), first_flush=FirstFlush(**fields))


def test_length_by_size():
    # 10 gal in 4 in of 4.026 in: 0.6613 gal a foot, 15.1 ft
    assert standpipe_length_m(37.854, 102.26) == pytest.approx(15.12 * 0.3048, rel=0.002)
    lengths = dict(lengths_by_size(37.854))
    assert lengths["4 in"] == pytest.approx(15.12 * 0.3048, rel=0.002)
    assert list(lengths.values()) == sorted(lengths.values(), reverse=True)


def test_time_to_empty_by_small_steps():
    """The water let out a little at a time through the hole."""
    level, hours, bore, hole = 2.0, 0.0, 0.1, 0.003
    while level > 1e-5:
        step = level / 500
        flow = 0.6 * math.pi / 4 * hole**2 * math.sqrt(2 * 9.80665 * (level - step / 2))
        hours += math.pi / 4 * bore**2 * step / flow / 3600
        level -= step
    found = empties_h_through_hole(2.0, bore_mm=100.0, hole_mm=3.0)
    assert found == pytest.approx(hours, rel=0.005)
    assert hole_mm_to_empty(2.0, bore_mm=100.0, hours=found) == pytest.approx(3.0)


def test_time_over_holes_and_lengths():
    by_hole = [empties_h_through_hole(2.0, bore_mm=100.0, hole_mm=h / 2) for h in range(1, 100)]
    assert by_hole == sorted(by_hole, reverse=True)
    by_length = [empties_h_through_hole(m / 10, bore_mm=100.0, hole_mm=3.0) for m in range(1, 100)]
    assert by_length == sorted(by_length)


@pytest.mark.parametrize(("length_m", "hole_mm"), [(0.0, 3.0), (2.0, 0.0), (2.0, 100.0)])
def test_no_such_hole(length_m, hole_mm):
    with pytest.raises(OutOfRange):
        empties_h_through_hole(length_m, bore_mm=100.0, hole_mm=hole_mm)


def test_no_such_pipe_time_or_record(making):
    with pytest.raises(OutOfRange):
        standpipe_length_m(10.0, 0.0)
    with pytest.raises(OutOfRange):
        hole_mm_to_empty(2.0, bore_mm=100.0, hours=0.0)
    with pytest.raises(OutOfRange):
        flush_loss(with_flush(making, depth_mm=1.0), np.zeros(0))


def test_a_roofs_standpipe(making):
    roof = with_flush(making, depth_mm=0.5, bore_mm=100.0, drain_l_h=2.0)
    (pipe,) = flush_pipes(making.site(roofs=(roof,)), gap_days=4.0)
    assert pipe.volume_l == pytest.approx(50.0)
    assert pipe.length_m == pytest.approx(50.0 / (math.pi / 4 * 10.0))
    assert pipe.empties_h == pytest.approx(25.0)
    assert pipe.gap_days == 4.0
    assert flush_pipes(making.site(roofs=(making.roof(),))) == ()


def test_unknown_stays_unknown(making):
    (pipe,) = flush_pipes(making.site(roofs=(with_flush(making, volume_l=40.0),)))
    assert pipe.volume_l == 40.0
    assert pipe.length_m is None
    assert pipe.empties_h is None
    assert pipe.hole_mm is None
    assert pipe.loss is None


def test_loss_of_a_record_of_equal_storms(making):
    """Ten millimetres every tenth day; 1 mm each time on 100 m2 is a tenth of it."""
    roof = with_flush(making, depth_mm=1.0)
    loss = flush_loss(roof, making.every_tenth_day(3650))
    assert loss.lost_l_year == pytest.approx(100.0 * 36.525)
    assert loss.share == pytest.approx(0.1)
    # 15 % of ten millimetres
    assert loss.most_mm == pytest.approx(1.5, abs=1e-4)
    assert flush_loss(roof, np.zeros(10)).share == 0.0


def test_usual_gap():
    """Gaps of 1, 4 and 2 dry days; what lies before the first rain and after the last is none."""
    water = np.array([0, 5, 3, 0, 2, 0, 0, 0, 0, 1, 0, 0, 7, 0, 0, 0, 0, 0], dtype=float)
    assert usual_gap_days(water) == 2.0
    assert usual_gap_days(np.zeros(30)) is None
    assert usual_gap_days(np.ones(30)) is None
