"""The corners of a roof as the file gives them: a product, corners in order, or none."""

from pathlib import Path

import pytest

from eavewell.files.site.reader import read_site
from eavewell.units import sides

EXAMPLES = Path(__file__).parents[2] / "examples"
FOOT = 0.3048


def outlines(name):
    return {
        plane.name: plane
        for roof in read_site(EXAMPLES / name / "site.toml").roofs
        for plane in roof.planes
    }


def shoelace(corners):
    following = (*corners[1:], corners[0])
    return abs(sum(x * v - u * y for (x, y), (u, v) in zip(corners, following, strict=True))) / 2


def test_a_product_gives_a_rectangle():
    house = outlines("whole-house")["house"]
    assert house.outline[2] == pytest.approx((62 * FOOT, 44 * FOOT))


def test_an_area_gives_none():
    assert outlines("whole-house")["workshop"].outline == ()


def test_corners_come_in_metres():
    cabin = outlines("part-year")["cabin"]
    feet = [(0, 0), (36, 0), (36, 20), (22, 20), (22, 30), (0, 30)]
    assert [pytest.approx(corner) for corner in cabin.outline] == [
        (x * FOOT, y * FOOT) for x, y in feet
    ]


@pytest.mark.parametrize("name", ["whole-house", "low-eaves", "part-year", "barrels"])
def test_an_outline_encloses_the_plan_area(name):
    for plane in outlines(name).values():
        if plane.outline:
            assert shoelace(plane.outline) == pytest.approx(plane.plan_area_m2)


def test_sides_of_a_product():
    assert sides("62 ft x 44 ft") == pytest.approx((62 * FOOT, 44 * FOOT))
    assert sides("3 m by 250 cm") == pytest.approx((3.0, 2.5))
    assert sides("1,500 ft2") is None


def test_a_wrong_plan_is_told_once(tmp_path):
    from eavewell.faults import EavewellFault

    text = (EXAMPLES / "barrels" / "site.toml").read_text(encoding="utf-8")
    file = tmp_path / "site.toml"
    file.write_text(text.replace('"14 ft x 12 ft"', '"14 ft x 12"'), encoding="utf-8")
    with pytest.raises(EavewellFault, match="unit on both sides") as told:
        read_site(file)
    assert len(told.value.faults) == 1
