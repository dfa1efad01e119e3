"""Laws: each size that is said to meet the goals meets them when the site is drawn so."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.site.goal import Goal
from eavewell.site.reserve import Reserve
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.goals import all_reached
from eavewell.storage.in_service import run_in_service
from eavewell.storage.sizing import size_system


def meets(site, water):
    balance = run_in_service(site, arrange(site, water, lanes=lanes_as_drawn(site)))
    return bool(all_reached(site, balance)[0])


@given(
    seed=st.integers(0, 10**6),
    share=st.floats(0.3, 0.99),
    usable_l=st.floats(30.0, 3000.0),
    rule=st.sampled_from(["yas", "ybs"]),
    fire=st.floats(0.0, 0.5),
)
@settings(max_examples=20, deadline=None)
def test_every_way_out_meets_the_goals(making, seed, share, usable_l, rule, fire):
    rng = np.random.default_rng(seed)
    garden = making.use(20.0, "garden", end_use="outdoor", priority=2)
    site = making.site(
        tanks=(making.tank(usable_l, fire_reserve=Reserve(share=fire)),),
        uses=(making.use(6.0), garden),
        goals=(Goal("house", "days_met", share), Goal("garden", "supplied_share", share / 2)),
        rule=rule,
    )
    rain = making.wet_and_dry(4, seed=seed)
    wants = np.column_stack([np.full(rain.size, 6.0), 20.0 * (rng.random(rain.size) < 0.3)])
    water = making.series(rain * 0.9, wants)
    found = size_system(site, water)
    assert found.meets_goal == meets(site, water)
    if found.smallest_l is not None:
        tank = replace(site.tanks[0], stated_l=found.smallest_l)
        assert meets(replace(site, tanks=(tank,)), water)
    if found.smallest_roof_m2 is not None:
        roof = making.roof(found.smallest_roof_m2)
        assert meets(replace(site, roofs=(roof,)), water)
    if found.most_use_l_day is not None:
        factor = found.most_use_l_day / wants.sum(axis=1).mean()
        assert meets(site, replace(water, demand_l=wants * factor))
