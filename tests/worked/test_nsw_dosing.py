"""NSW Private Water Supply Guidelines, dosing tables (reference 5.3, FOUND), and Tasmania's."""

import pytest

from eavewell.faults import OutOfRange
from eavewell.treatment.chlorine import granules_g, product_ml

# litres of water: mL of 12.5 % sodium hypochlorite for 1, 2 and 5 mg/L
LIQUID = {
    1_000: (8, 16, 40),
    2_000: (16, 32, 80),
    5_000: (40, 80, 200),
    6_000: (48, 96, 240),
    7_500: (60, 120, 300),
    10_000: (80, 160, 400),
    16_000: (128, 256, 640),
    20_000: (160, 320, 800),
    30_000: (240, 480, 1_200),
}
# litres of water: g of 65 % calcium hypochlorite for the same, printed in whole grams
GRANULES = {1_000: (2, 3, 8), 5_000: (8, 15, 38), 10_000: (15, 31, 77), 30_000: (46, 92, 231)}
DOSES = (1.0, 2.0, 5.0)


@pytest.mark.parametrize(("litres", "row"), LIQUID.items())
def test_liquid(litres, row):
    for mg_l, ml in zip(DOSES, row, strict=True):
        assert product_ml(litres, mg_l, strength=0.125) == pytest.approx(ml, rel=1e-12)


@pytest.mark.parametrize(("litres", "row"), GRANULES.items())
def test_granules(litres, row):
    for mg_l, grams in zip(DOSES, row, strict=True):
        assert granules_g(litres, mg_l, strength=0.65) == pytest.approx(grams, abs=0.5)


def test_tasmania():
    # 5 mg/L: 40 mL of 12.5 % or 7 g of 75 % in 1,000 L, exactly 6.67 g (FOUND)
    assert product_ml(1_000, 5.0, strength=0.125) == pytest.approx(40.0)
    assert granules_g(1_000, 5.0, strength=0.75) == pytest.approx(20.0 / 3.0)


@pytest.mark.parametrize(
    ("litres", "ml"), [(500, 33), (1_000, 67), (2_000, 133), (5_000, 333), (20_000, 1_333)]
)
def test_canterbury_bleach(litres, ml):
    # 5 % bleach for 10/3 mg/L, printed in whole mL (FOUND)
    assert product_ml(litres, 10.0 / 3.0, strength=0.05) == pytest.approx(ml, abs=0.5)


@pytest.mark.parametrize("strength", [0.0525, 0.06])
def test_a_texas_figure(strength):
    # 2.44 fl oz at 5.25 % and 2.13 at 6 % in 1,000 gal for 1 mg/L (DERIVED)
    ounces = product_ml(1_000 * 3.785411784, 1.0, strength=strength) / 29.5735295625
    assert ounces == pytest.approx({0.0525: 2.44, 0.06: 2.13}[strength], abs=0.005)


def test_what_is_refused():
    with pytest.raises(OutOfRange, match="stabilised"):
        granules_g(1_000, 5.0, strength=0.65, stabilised=True)
    with pytest.raises(OutOfRange, match="measured"):
        granules_g(0.0, 5.0, strength=0.65)
    for strength in (0.3, 0.95):
        with pytest.raises(OutOfRange, match="not one that is sold"):
            granules_g(1_000, 5.0, strength=strength)
