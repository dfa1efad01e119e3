"""The goal of a use that states none, and what hauled water reaches."""

import pytest

from eavewell.faults import BadSite
from eavewell.files.site.reader import site_of_text

SITE = """
name = "made up"
[place]
latitude = 30.0
longitude = -98.0
[rain]
climate = "dry-uplands"
[[roof]]
name = "roof"
area = "50 m2"
finish = "metal"
drains_to = "main"
[[tank]]
name = "main"
each = "5 kL"
[[tank]]
name = "header"
each = "500 L"
[[lift]]
name = "top-up"
from = "main"
to = "header"
[[use]]
name = "house"
class = "{end_use}"
people = 2
each = "60 L/day"
draws_from = ["header"]
fallback = "{fallback}"
"""
TRUCK = """
[[hauled]]
to = "main"
load = "2 kL"
lead = "3 days"
"""


def site(end_use="indoor", fallback="none", more=""):
    return site_of_text(SITE.format(end_use=end_use, fallback=fallback) + more)


@pytest.mark.parametrize(
    ("end_use", "fallback", "measure", "target"),
    [
        ("drinking", "none", "dry_days_in_worst_spell", 0.0),
        ("indoor", "hauled", "dry_days_in_worst_spell", 0.0),
        ("animals", "none", "dry_days_in_worst_spell", 0.0),
        ("outdoor", "none", "supplied_share", 0.7),
        # Where the mains make it up no day is dry, and a tank for every dry spell is not needed.
        ("drinking", "mains", "supplied_share", 0.7),
        ("animals", "mains", "supplied_share", 0.7),
    ],
)
def test_starting_goal(end_use, fallback, measure, target):
    (goal,) = site(end_use, fallback, TRUCK).goals
    assert (goal.measure, goal.target, goal.stated) == (measure, target, False)


def test_hauled_water_reaches_a_use_through_a_lift():
    assert site(fallback="hauled", more=TRUCK).use("house").fallback == "hauled"
    with pytest.raises(BadSite, match=r"no \[\[hauled\]\] brings it"):
        site(fallback="hauled")
    with pytest.raises(BadSite, match=r"no \[\[hauled\]\] brings it"):
        site(fallback="hauled", more=TRUCK.replace("main", "cistern"))


@pytest.mark.parametrize(("stages", "is_read"), [(4, True), (5, False)])
def test_at_most_four_ration_stages(stages, is_read):
    rows = [
        f'{{ below = "{n}00 L", share = "{10 * n} %", held_by = "timer" }}'
        for n in range(1, stages + 1)
    ]
    more = f"ration = [{', '.join(rows)}]\n"
    if is_read:
        assert len(site(more=more).use("house").stages) == 4
        return
    with pytest.raises(BadSite, match="5 ration stages: 4 at most"):
        site(more=more)
