"""Sizes rounded to the side on which they still hold, below the datum too."""

import pytest

from eavewell.findings.rounding import no_less, no_more
from eavewell.units import read


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("level_m", [-3.7, -0.3049, -0.001, 0.0, 0.001, 0.4, 12.345])
def test_a_level_is_never_rounded_past_itself(level_m: float, system) -> None:  # type: ignore[no-untyped-def]
    up = read(no_less(level_m, "level", system=system), "level")
    down = read(no_more(level_m, "level", system=system), "level")
    # levels are written in steps of 1 in and 1 cm, and with three figures at least
    step = max({"us": 0.0254, "metric": 0.01}[system], 0.01 * abs(level_m))
    assert level_m - 1e-9 <= up <= level_m + 1.01 * step
    assert level_m - 1.01 * step <= down <= level_m + 1e-9
