"""ASME A13.1, letters by outside diameter (seen in copies); Ontario's sign and New York's spacing.

FOUND: letters 1/2, 3/4, 1-1/4, 2-1/2, 3-1/2 in to 1-1/4, 2, 6, 10 in and over; signs of 25 mm with
a stroke of 5 mm; a label at most every 25 ft.
"""

import pytest

from eavewell.tables import rows, table
from eavewell.treatment.label_letters import lettering, pipe_lettering

INCH = 25.4
# schedule 40 bore and outside diameter, in; letters and length of the field, in
PIPES = [
    ("1/2 in", 15.80, 0.840, 0.5, 8),
    ("1 in", 26.64, 1.315, 0.75, 8),
    ("1-1/2 in", 40.89, 1.900, 0.75, 8),
    ("2 in", 52.50, 2.375, 1.25, 12),
    ("4 in", 102.26, 4.500, 1.25, 12),
    ("6 in", 154.05, 6.625, 2.5, 24),
    ("8 in", 202.72, 8.625, 2.5, 24),
    ("10 in", 254.51, 10.750, 3.5, 32),
]


@pytest.mark.parametrize(("name", "bore_mm", "outside_in", "letters_in", "long_in"), PIPES)
def test_letters_by_outside_diameter(name, bore_mm, outside_in, letters_in, long_in):
    del name
    known = {float(row["bore_mm"]): float(row["outside_mm"]) for row in rows("pipe_outside")}
    assert known[bore_mm] == pytest.approx(outside_in * INCH, abs=0.01)
    found = pipe_lettering(bore_mm)
    assert found.letters_mm == pytest.approx(letters_in * INCH)
    assert found.width_mm == pytest.approx(long_in * INCH)


def test_sign_and_spacing():
    assert lettering("sign").letters_mm == 25.0
    assert table("label_figures")["pipe label every"].value == pytest.approx(25 * 0.3048)
