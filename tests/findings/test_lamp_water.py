"""The water that a lamp shines into: each check fires, keeps silent, and its way out passes."""

from dataclasses import replace

import pytest

from eavewell.units import read

DECIDES = "Screening, not design approval; the health department decides."


@pytest.fixture
def made(made_up_barriers):
    return made_up_barriers


@pytest.fixture
def barriers(made, making):
    return made.Barriers(making)


@pytest.mark.parametrize(
    ("field", "quantity", "dirty", "limit"),
    [
        ("turbidity_ntu", "turbidity", 1.2, 1.0),
        ("iron_mg_l", "concentration", 0.5, 0.3),
        ("hardness_mg_l", "concentration", 180.0, 120.0),
    ],
)
def test_what_shades_or_coats_a_lamp(made, barriers, field, quantity, dirty, limit):
    line = made.line(*made.LIT)
    water = replace(made.WATER, **{field: dirty})
    finding = barriers.the(line, "lamp-water-too-dirty", water=water)
    assert (finding.level, finding.measured, finding.limit) == ("watch", dirty, limit)
    assert finding.says.endswith(DECIDES)
    assert finding.source
    most = read(finding.fix.split("at most ")[1].split(" before")[0], quantity)
    for clean in (most, None):
        mended = replace(water, **{field: clean})
        assert finding.code not in barriers.codes(line, water=mended)
    without = made.line(*made.CHLORINATED)
    assert finding.code not in barriers.codes(without, water=water)


def test_dark_water_where_the_document_names_no_transmittance(made, barriers):
    lamp = made.with_works(made.LAMP, validated_transmittance=None)
    line = made.line(made.FINE, lamp)
    dark = replace(made.WATER, transmittance=0.7)
    finding = barriers.the(line, "lamp-water-too-dark", water=dark)
    assert (finding.measured, finding.limit) == (0.7, 0.75)
    assert finding.says.endswith(DECIDES)
    for clear in (0.75, 0.9, None):
        water = replace(dark, transmittance=clear)
        assert finding.code not in barriers.codes(line, water=water)
    # a document's own transmittance is held against the water by itself
    assert finding.code not in barriers.codes(made.line(*made.LIT), water=dark)
