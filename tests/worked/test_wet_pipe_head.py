"""Head of a pipe held full: no published example found, worked by hand (COMPUTED).

100 gal/min through 4 in schedule 40 (4.026 in), 100 ft and five bends of 12 ft: 0.907 ft of
friction and 0.099 ft of exit head are needed between the lowest opening and the tank.
"""

import pytest

from eavewell.hydraulics.friction import developed_length_m, pipe_loss_m, velocity_head_m
from eavewell.site.pipe import Pipe

FT, IN, GAL_MIN = 0.3048, 25.4, 3.785411784 / 60
PIPE = Pipe(4.026 * IN, 100 * FT, "pvc", (("90 elbow", 5),))


def test_friction_and_exit():
    assert developed_length_m(PIPE) / FT == pytest.approx(160, rel=0.005)
    friction, left = pipe_loss_m(100 * GAL_MIN, PIPE), velocity_head_m(100 * GAL_MIN, PIPE.bore_mm)
    # The forms of the formula differ by 2 %.
    assert friction / FT == pytest.approx(0.907, rel=0.02)
    assert left / FT == pytest.approx(0.099, rel=0.01)


def test_the_whole_site(made_up_pipes):
    """The same as a site: the roof makes 100 gal/min, its opening stands 1.006 ft up."""
    area_m2 = 100 * GAL_MIN * 3600 / 100.0
    main = made_up_pipes.wet_main_of(PIPE, area_m2=area_m2, opening_m=3.0 + 1.006 * FT, end_m=3.0)
    assert main.pipes[0].water_m - main.outlet_m == pytest.approx(1.006 * FT, rel=0.02)
    assert main.spills_mm_h == pytest.approx(100.0, rel=0.02)
