"""The map of a district: true to its scale, and legible at every one."""

import math

import pytest

from eavewell.drawings.compose import compose
from eavewell.drawings.district_map import DistrictMap, MapGauge, MapSquare, district_map
from eavewell.drawings.marks import Hatch, Stroke
from eavewell.drawings.svg import svg
from eavewell.tables import rows
from eavewell.units import read


def made(side, *, across=4, latitude=30.0, share=0.25):
    squares = tuple(
        MapSquare(
            -98 + at * side,
            latitude,
            -98 + (at + 1) * side,
            latitude + side,
            share,
        )
        for at in range(across)
        if at != 1
    )
    gauge = MapGauge("Q0", latitude + side / 2, -98 + side / 2)
    return DistrictMap("Quailwater valley", 2000.0, 1.0, 1.0, 5, squares, (gauge,))


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("side", [0.02, 0.1, 0.4, 2.0])
def test_squares_are_to_scale_and_full_to_their_share(system, side):
    size = "letter" if system == "us" else "a4"
    sheet = district_map(made(side), size=size, system=system, block={})
    view = sheet.views[0]
    ratio = next(
        float(row["ratio"])
        for row in rows("map_scales")
        if row["system"] == system and row["called"] == dict(sheet.block)["scale"]
    )
    assert view.across == view.up == pytest.approx(1000.0 / ratio)
    first = next(one for one in view.marks if isinstance(one, Stroke) and one.closed)
    (left, low), (_, high), (right, _), _ = first.points
    # a degree of latitude is 10,000 km over 90, to the flattening of the earth
    assert high - low == pytest.approx(side * 10_000_000 / 90, rel=1e-3)
    middle = math.cos(math.radians(30.0 + side / 2))
    assert right - left == pytest.approx((high - low) * middle, rel=1e-6)
    water = [one for one in view.marks if isinstance(one, Hatch)]
    assert len(water) == 3
    level = max(y for _, y in water[0].points)
    assert (level - low) / (high - low) == pytest.approx(0.25)
    drawn = compose(sheet)
    assert drawn.lost == ()
    assert "Q0" in svg(drawn)


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_empty_and_full(share):
    sheet = district_map(made(0.1, share=share), size="letter", system="us", block={})
    water = [one for one in sheet.views[0].marks if isinstance(one, Hatch)]
    assert len(water) == (3 if share else 0)


def test_every_bar_has_room_for_its_figures():
    for row in rows("map_scales"):
        part_mm = 1000.0 * read(f"{row['bar']} {row['bar_unit']}", "length") / float(row["ratio"])
        assert 9.0 <= part_mm <= 21.0, row["called"]
        assert row["called"] == f"1:{int(row['ratio']):,}"
