"""Pipes people lay: common practice, no source; judged at 4 in/h by Manning with n 0.010.

A 4-inch buried pipe from a barn of 5,000 ft2 to a sump; a 3-inch pipe for a 1,500 ft2 roof.
What each carries is COMPUTED here in feet and gal/min.
"""

import math

import pytest

from eavewell.findings.conveyance import pipes_carry
from eavewell.hydraulics.pipe_changes import fall_to_carry, next_dry_size
from eavewell.site.pipe import Pipe

FT, IN, GAL_MIN = 0.3048, 25.4, 3.785411784 / 60
RAIN = 4 * IN
CUBIC_FOOT_A_SECOND = 448.83  # gal/min


def full_gal_min(bore_in, in_per_ft):
    """1.486 A R^(2/3) S^(1/2) / n in feet."""
    bore = bore_in / 12
    area = math.pi / 4 * bore**2
    speed = 1.486 / 0.010 * (bore / 4) ** (2 / 3) * math.sqrt(in_per_ft / 12)
    return area * speed * CUBIC_FOOT_A_SECOND


def laid(p, bore_in, in_per_ft, *, roof_ft2, length_ft=60):
    pipe = Pipe(bore_in * IN, length_ft * FT)
    roof = p.roof(area_m2=roof_ft2 * FT**2)
    whole = p.site(p.dry(pipe=pipe, fall=in_per_ft / 12), roofs=(roof,))
    return whole, p.conveyed(whole, RAIN)


def test_four_inches_from_a_barn_of_5000_square_feet(made_up_pipes):
    """208 gal/min asked: it carries 116 at 1/8 in/ft and 163 at 1/4, and fails from 2.2 in/h."""
    whole, flat = laid(made_up_pipes, 4.026, 1 / 8, roof_ft2=5000)
    steep = laid(made_up_pipes, 4.026, 1 / 4, roof_ft2=5000)[1].dry[0]
    pipe = flat.dry[0]
    assert pipe.flow_l_s / GAL_MIN == pytest.approx(4 * 5000 / 96.25, rel=0.001)
    assert pipe.capacity_l_s / GAL_MIN == pytest.approx(full_gal_min(4.026, 1 / 8), rel=0.002)
    assert pipe.capacity_l_s / GAL_MIN == pytest.approx(115.3, rel=0.005)
    assert steep.capacity_l_s / GAL_MIN == pytest.approx(163.1, rel=0.005)
    assert pipe.holds is False
    assert steep.holds is False
    assert pipe.fails_mm_h / IN == pytest.approx(115.3 / 51.95, rel=0.005)
    assert steep.fails_mm_h / IN == pytest.approx(163.1 / 51.95, rel=0.005)
    # 208/115 is 1.8 times the flow: 1.8^(3/8) = 1.25 times the bore, 5.02 in; 5 in is 5.047 in.
    assert next_dry_size(pipe, system="us")[0] == "5 in"
    # ... or 1.8^2 = 3.25 times the fall, 0.41 in/ft
    assert fall_to_carry(pipe) * 12 == pytest.approx(0.406, rel=0.01)
    assert "pipe-too-small" in {f.code for f in pipes_carry(whole, flat)}


def test_three_inches_for_1500_square_feet(made_up_pipes):
    """62 gal/min asked: 56 at 1/8 in/ft does not hold, 79 at 1/4 does, up to 5.1 in/h."""
    flat = laid(made_up_pipes, 3.068, 1 / 8, roof_ft2=1500)[1].dry[0]
    whole, steep = laid(made_up_pipes, 3.068, 1 / 4, roof_ft2=1500)
    pipe = steep.dry[0]
    assert flat.flow_l_s / GAL_MIN == pytest.approx(62.3, rel=0.002)
    assert flat.capacity_l_s / GAL_MIN == pytest.approx(55.9, rel=0.005)
    assert flat.holds is False
    assert pipe.capacity_l_s / GAL_MIN == pytest.approx(full_gal_min(3.068, 1 / 4), rel=0.002)
    assert pipe.capacity_l_s / GAL_MIN == pytest.approx(79.0, rel=0.005)
    assert pipe.holds
    assert pipe.fails_mm_h / IN == pytest.approx(79.0 / 15.58, rel=0.005)
    assert "pipe-too-small" not in {f.code for f in pipes_carry(whole, steep)}
