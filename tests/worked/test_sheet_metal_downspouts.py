"""Sheet-metal rule: 1 in2 of downspout drains 1,200 ft2 at 1 in/h; least 7 in2 (copies, FOUND).

Rule of thumb on a gutter maker's page (FOUND): 2 x 3 in for 600 ft2, 3 x 4 in for 1,200 ft2,
which is the rule at 12 in/h (arithmetic).
"""

import math

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.downspouts import downspout_l_s, downspout_l_s_sheet_metal
from eavewell.hydraulics.roof_methods import method_called
from eavewell.site.gutter import Downspout
from eavewell.tables import table

IN, IN_H, FT2 = 25.4, 25.4, 0.3048**2
SHEET_METAL = method_called("sheet metal")


def drained_ft2(flow_l_s, in_h):
    return flow_l_s * 3600 / (in_h * IN_H) / FT2


@pytest.mark.parametrize(("wide", "deep", "thumb_ft2"), [(2, 3, 600), (3, 4, 1200)])
def test_rectangular(wide, deep, thumb_ft2):
    flow = downspout_l_s(Downspout(width_mm=wide * IN, depth_mm=deep * IN), SHEET_METAL)
    assert drained_ft2(flow, 1) == pytest.approx(1200 * wide * deep)
    assert drained_ft2(flow, 12) == pytest.approx(thumb_ft2)


def test_round():
    square_inches = math.pi / 4 * 3**2
    assert drained_ft2(downspout_l_s_sheet_metal(3 * IN), 1) == pytest.approx(1200 * square_inches)
    # a three-inch round downspout is the least that the handbook allows
    assert square_inches > table("eave_figures")["least downspout"].value == 7


def test_sweep():
    flows = [downspout_l_s_sheet_metal(bore) for bore in range(25, 401)]
    assert flows == sorted(flows)
    with pytest.raises(OutOfRange):
        downspout_l_s_sheet_metal(10)
    with pytest.raises(OutOfRange, match="size"):
        downspout_l_s(Downspout(), SHEET_METAL)
