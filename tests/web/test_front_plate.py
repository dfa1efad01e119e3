"""The plate of the choices: every dot at its place, every number beside it and clear of others."""

import math
import re
from itertools import combinations

from eavewell.web.front_plate import front_plate


def _choice(cost: float, share: float, *, present: bool = False) -> dict[str, object]:
    weight = {"life": {"typical": cost}, "days_met_share": share}
    return {"choice": weight, "words": f"<{cost}>", "present": present}


def _drawn(choices: list[dict[str, object]], picked: int | None = None) -> str:
    front = [one["choice"] for one in choices]
    answer = {"site": "<shed>", "by_days": front, "currency": "USD", "years": 20}
    return str(front_plate(answer, choices, way="/sites/a/versions", picked=picked))


def _at(plate: str, pattern: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(pattern, plate)]


def test_dots_lie_on_one_scale() -> None:
    shares = (0.70, 0.80, 0.95)
    plate = _drawn([_choice(1000.0 * (1 + row), share) for row, share in enumerate(shares)], 1)
    dots = _at(plate, r'class="dot[^"]*" cx="([\d.]+)" cy="([\d.]+)"')
    (x0, y0), (x1, y1), (x2, y2) = dots
    assert math.isclose(x1 - x0, x2 - x1, abs_tol=0.11)
    # 10 and 15 per cent: heights as 2 to 3
    assert math.isclose((y0 - y1) / (y1 - y2), 10 / 15, rel_tol=0.01)
    assert plate.count("aria-current") == 1
    assert "<shed>" not in plate and "<1000" not in plate


def test_numbers_keep_clear_of_each_other() -> None:
    steep = [_choice(20_000.0 + 150.0 * row, 0.1 * row, present=row == 3) for row in range(8)]
    numbers = _at(_drawn(steep), r'<text x="([\d.]+)" y="([\d.]+)" class="mid number"')
    assert len(numbers) == 8
    assert min(math.dist(*pair) for pair in combinations(numbers, 2)) > 11.0


def test_one_cost_and_one_share_still_make_a_plate() -> None:
    assert "NaN" not in _drawn([_choice(0.0, 1.0), _choice(0.0, 1.0)]).replace("nan", "NaN")
    assert _drawn([_choice(5.0, 1.0)]) == ""
