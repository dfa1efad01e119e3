"""Friction over its range: sign, order and refusal."""

import itertools

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.friction import (
    friction_m_hazen_williams,
    most_flow_l_s,
    pipe_loss_m,
    roughness_c,
)
from eavewell.hydraulics.standard_sizes import called, next_bore_mm, next_pipe, standard_bores
from eavewell.site.pipe import Pipe
from eavewell.tables import table


def test_more_flow_loses_more_and_a_wider_pipe_less():
    flows = [0.1, 0.5, 1, 2, 5]
    for bore in (15, 25, 50, 100):
        heads = [
            friction_m_hazen_williams(q, bore_mm=bore, length_m=10, roughness_c=150) for q in flows
        ]
        assert heads == sorted(heads)
        assert heads[0] > 0
    wide = [
        friction_m_hazen_williams(1, bore_mm=b, length_m=10, roughness_c=150) for b in (20, 40, 80)
    ]
    assert wide == sorted(wide, reverse=True)


def test_flow_the_other_way_loses_head_the_other_way():
    line = Pipe(25, 10, "pvc", (("ball valve", 1),))
    assert pipe_loss_m(-1, line) == -pipe_loss_m(1, line) < 0
    assert pipe_loss_m(0, line) == 0


def test_the_most_flow_loses_just_the_head_there_is():
    line = Pipe(25, 10, "galvanised steel", (("90 elbow", 3), ("exit", 1)))
    for head_m in (0.1, 1, 10):
        assert pipe_loss_m(most_flow_l_s(head_m, line), line) == pytest.approx(head_m, rel=1e-9)
    assert most_flow_l_s(0, line) == 0


@pytest.mark.parametrize("material", list(table("pipe_hazen_williams")))
def test_a_metal_pipe_takes_fittings_by_coefficient(material):
    # k v2/2g of one threaded elbow, 1.5, at 1 m/s: 0.0765 m, where no equivalent length is used
    bore = 50.0
    flow = 3.14159265 / 4 * 0.05**2 * 1000
    with_bend = pipe_loss_m(flow, Pipe(bore, 0, material, (("90 elbow", 1),)))
    if material in ("pvc", "polyethylene"):
        # 5.7 ft of 2 in pipe; the bore lies just below 2.067 in
        feet = 1.0 / friction_m_hazen_williams(
            flow, bore_mm=bore, length_m=0.3048, roughness_c=roughness_c(material)
        )
        assert with_bend * feet == pytest.approx(5.5, abs=0.25)
    else:
        assert with_bend == pytest.approx(1.5 / (2 * 9.80665), rel=1e-6)


def test_what_no_pipe_has_is_refused():
    for bore, length, c in itertools.chain([(0, 1, 150), (25, -1, 150), (25, 1, 10)]):
        with pytest.raises(OutOfRange):
            friction_m_hazen_williams(1, bore_mm=bore, length_m=length, roughness_c=c)
    with pytest.raises(OutOfRange, match="glass"):
        roughness_c("glass")
    with pytest.raises(OutOfRange, match="knee"):
        pipe_loss_m(1, Pipe(25, 1, "pvc", (("knee", 1),)))
    with pytest.raises(OutOfRange):
        most_flow_l_s(1, Pipe(25, 0))


def test_the_next_size_sold():
    assert next_bore_mm(80) == pytest.approx(4.026 * 25.4, abs=0.01)
    assert next_pipe(80) == "4 in"
    assert next_pipe(80, "metric pipe") == "110 mm"
    assert next_bore_mm(5000) is None
    assert next_pipe(5000) == "more than the largest, 15 in"
    assert called(102.26) == "4 in"
    assert called(30) == "30 mm"
    with pytest.raises(OutOfRange):
        standard_bores("hose")
