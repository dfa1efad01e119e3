"""The plate of sizes: what is written on it stays on it."""

import re

from eavewell.web.curve_plate import RIGHT, curve_plate

WORDS = "smallest that reaches the goal"
# a telephone's letters are 20 high on a plate 640 wide, and in the mean half as wide
LONG = len(WORDS) * 10.0


def _plate(smallest_l: float) -> str:
    curve = [
        {"capacity_l": 100.0 * row, "supplied_share": 0.1 * row, "days_met_share": 0.1 * row}
        for row in range(1, 10)
    ]
    return str(
        curve_plate(
            {
                "place": {"show": "metric"},
                "sizing": {"store": "main", "curve": curve, "smallest_l": smallest_l},
                "storage": {
                    "stores": [{"name": "main", "usable_l": 400.0}],
                    "supplied_share": 0.4,
                },
            }
        )
    )


def test_the_name_of_the_smallest_size_stays_on_the_plate() -> None:
    for smallest in (50.0, 300.0, 449.0, 451.0, 700.0, 900.0):
        found = re.search(
            rf'<text x="([\d.]+)" y="[\d.]+" class="small ?(\w*)">{WORDS}', _plate(smallest)
        )
        assert found is not None, smallest
        at = float(found[1])
        assert at - LONG > 0.0 if found[2] == "end" else at + LONG < RIGHT + 40.0, smallest
    assert WORDS not in _plate(901.0)
