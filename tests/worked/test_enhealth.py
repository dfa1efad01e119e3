"""enHealth, Guidance on use of rainwater tanks, appendix B, formula and table B.1 (FOUND)."""

import numpy as np
import pytest

from eavewell.catchment.enhealth import runoff_l_enhealth
from eavewell.tables import table

ROOFS_M2 = (100, 150, 200, 250, 300, 400, 500)
# None: the five cells that the source misprints (14.08, 28.16, 56.32, 190.4 and 376.3 by formula).
TABLE_KL = {
    150: (10, 15, 20, 25, 30, 40, 50),
    200: (None, 21, None, 35, 42, None, 70),
    250: (18, 27, 36, 45, 54, 72, 90),
    300: (22, 33, 44, 55, 66, 88, 110),
    400: (30, 45, 60, 75, 90, 120, 150),
    500: (38, 57, 76, 95, 114, 152, None),
    600: (46, 69, 92, 115, 138, 184, 230),
    800: (62, 93, 124, 155, 186, 248, 310),
    1000: (78, 117, 156, 195, 234, 312, 390),
    1200: (94, 141, 188, 235, 282, None, 470),
}
CELLS = [
    (rain_mm, roof_m2, kilolitres)
    for rain_mm, line in TABLE_KL.items()
    for roof_m2, kilolitres in zip(ROOFS_M2, line, strict=True)
    if kilolitres is not None
]


def year_l(rain_mm, roof_m2):
    share, loss_mm = (table("catchment")[f"enhealth {name}"].value for name in ("share", "loss"))
    return runoff_l_enhealth([rain_mm / 12.0] * 12, roof_m2, share=share, loss_mm=loss_mm).sum()


def test_sixty_five_cells_are_consistent():
    assert len(CELLS) == 65


@pytest.mark.parametrize(("rain_mm", "roof_m2", "kilolitres"), CELLS)
def test_cell(rain_mm, roof_m2, kilolitres):
    assert year_l(rain_mm, roof_m2) / 1000.0 == pytest.approx(kilolitres, abs=0.5001)


def test_printed_example():
    # 0.80 x (750 - 24) x 200 m2 = 116,160 L.
    assert year_l(750, 200) == pytest.approx(116160)


def test_a_month_drier_than_its_loss_gives_nothing():
    litres = runoff_l_enhealth(np.array([1.9, 2.0, 3.0]), 100, share=0.8, loss_mm=2.0)
    assert litres == pytest.approx([0.0, 0.0, 80.0])
