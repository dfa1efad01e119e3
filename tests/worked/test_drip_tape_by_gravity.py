"""University of Kentucky HO-120 and Kentucky Hort News, 4 January 2022: drip tape by gravity.

FOUND: tape wants 8 to 15 psi as a rule; at 1 to 2 psi, from a tank 2 to 5 ft up, it watered a
quarter acre evenly in trials. The tape here is invented: 5/8 in, an emitter a foot, 0.25 gal/h at
10 psi, turbulent. Rows of 100 ft, as gardens have them.
"""

import pytest

from eavewell.hydraulics.drip import watered, waters_evenly
from eavewell.site.line import Line
from eavewell.site.outlet import Emitter, Lateral
from eavewell.site.pipe import Pipe
from eavewell.tables import table

FOOT, INCH, GAL, PSI = 0.3048, 25.4, 3.785411784, 0.70307
EMITTER = Emitter("tape", rated_l_h=0.25 * GAL, rated_m=10 * PSI)
TAPE = Lateral("row", 100, EMITTER, FOOT, 0.625 * INCH, level_m=0.0)
LINE = Line("line", "tank", Pipe(50.0, 3.0), laterals=(TAPE,))


@pytest.mark.parametrize("psi", [1.0, 1.5, 2.0])
def test_a_row_of_tape_waters_evenly_at_one_to_two_psi(psi):
    found = watered(LINE, TAPE, water_m=psi * PSI)
    assert waters_evenly(found)
    # an orifice emitter gives the root of the head: sqrt(2/10) = 44.7 % at 2 psi and 31.6 % at 1
    expected = (psi / 10.0) ** 0.5
    assert found.least_share == pytest.approx(expected, rel=0.03)
    assert found.least_share < expected


def test_the_trial_heads_stand_in_the_table():
    row = table("drip")["tape least head"]
    assert row.low == pytest.approx(1.0 * PSI, abs=0.01)
    assert row.value == pytest.approx(2.0 * PSI, abs=0.01)


def test_on_the_ground_it_drips_unsteadily():
    assert not waters_evenly(watered(LINE, TAPE, water_m=0.3 * PSI))
