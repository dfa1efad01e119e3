"""Any lateral at any water level comes to rest: no water made, none where it stands too high."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.hydraulics.drip import watered
from eavewell.hydraulics.line_network import lateral_nodes, line_network
from eavewell.hydraulics.network import solve
from eavewell.site.line import Line
from eavewell.site.outlet import Emitter, Lateral
from eavewell.site.pipe import Pipe

levels = st.floats(-4, 4)
emitters = st.builds(
    Emitter,
    st.just("drip"),
    st.floats(0.5, 12),
    st.floats(2, 20),
    st.sampled_from([0.0, 0.05, 0.1, 0.3, 0.5, 0.6, 1.0]),
)
laterals = st.builds(
    Lateral,
    st.just("row"),
    st.integers(1, 40),
    emitters,
    st.floats(0.1, 5),
    st.floats(4, 40),
    level_m=levels,
    far_level_m=st.none() | levels,
)


@settings(max_examples=150, deadline=None)
@given(laterals, st.sampled_from(["level", "above", "below"]), st.floats(0, 6))
def test_law_every_lateral_comes_to_rest(lateral, where, by_m):
    water_m = lateral.level_m + {"level": 0.0, "above": by_m, "below": -by_m}[where]
    line = Line("line", "tank", Pipe(25.0, 20.0), laterals=(lateral,))
    solved = solve(line_network(line, water_m, running={"row"}))
    assert solved.mass_l_s < 1e-6
    found = watered(line, lateral, water_m=water_m)
    assert min(found.plant_l_h) >= 0.0
    last_m = lateral.level_m if lateral.far_level_m is None else lateral.far_level_m
    count = len(lateral_nodes(lateral))
    for row, flow in enumerate(found.plant_l_h):
        level_m = lateral.level_m + (last_m - lateral.level_m) * row / max(count - 1, 1)
        if level_m > water_m + 1e-3:
            assert flow == pytest.approx(0.0, abs=1e-3)
