"""National Standard Plumbing Code, table B.5.4, and IPC table E103.3(3) (seen in copies).

FOUND: NSPC 10, 200, 1,000 units with flush tanks: 8, 65, 210 gpm; IPC 8 units: 12.8 gpm.
MEMORY: IPC 10 units 14.6 gpm. COMPUTED: straight between rows.
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.fixture_demand import demand_l_s, demands, edition, fixture_units
from eavewell.site.outlet import Outlet
from eavewell.tables import rows

GPM = 3.785411784 / 60.0


@pytest.mark.parametrize(
    ("family", "flush", "units", "gpm"),
    [
        ("NSPC", "tank", 10, 8.0),
        ("NSPC", "tank", 200, 65.0),
        ("NSPC", "tank", 1000, 210.0),
        ("NSPC", "valve", 5, 22.0),
        ("NSPC", "tank", 12, 9.25),  # half way from 8 to 10.5
        ("IPC", "tank", 8, 12.8),
        ("IPC", "tank", 10, 14.6),
        ("IPC", "valve", 50, 50.0),
        ("IPC", "tank", 22.5, 20.55),  # half way from 19.6 to 21.5
    ],
)
def test_rows_and_between(family, flush, units, gpm):
    assert demand_l_s(units, family, flush=flush) == pytest.approx(gpm * GPM)


def test_the_codes_differ_so_the_edition_is_told():
    assert demand_l_s(10, "IPC") > 1.8 * demand_l_s(10, "NSPC")
    assert edition("IPC") == "IPC 2018, table E103.3(3)"
    assert edition("NSPC").startswith("NSPC")


def test_flow_rises_with_units_and_is_refused_outside():
    known = {(row["family"], row["flush"]) for row in rows("fixture_demand")}
    for family, flush in known:
        units = [
            float(row["fixture_units"])
            for row in rows("fixture_demand")
            if (row["family"], row["flush"]) == (family, flush)
        ]
        flows = [demand_l_s(one, family, flush=flush) for one in units]
        assert flows == sorted(flows)
        for outside in (units[0] * 0.99, units[-1] * 1.01):
            with pytest.raises(OutOfRange):
                demand_l_s(outside, family, flush=flush)


def test_a_small_cabin_lies_below_one_table():
    outlets = (Outlet("sink", "kitchen sink"), Outlet("basins", "lavatory", count=2))
    assert fixture_units(outlets) == pytest.approx(1.4 + 2 * 0.7)
    by_family = {one.family: one.flow_l_s for one in demands(outlets)}
    assert by_family["NSPC"] is None
    assert by_family["IPC"] == pytest.approx((5.0 + 0.8 * 1.5) * GPM)
