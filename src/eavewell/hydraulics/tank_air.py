"""The air that a tank's vent must pass as water comes and goes."""

import math

from eavewell.faults import OutOfRange
from eavewell.tables import table


def vent_l_s(bore_mm: float, *, screened: bool) -> float:
    """Air through a vent at the pressure a thin tank bears; a screen is judged half clogged.

    An orifice, Q = cd A sqrt(2 dp / density): good for pressures far below that of the air.
    """
    if bore_mm < 0.0:
        raise OutOfRange("A vent is never narrower than nothing.")
    share = table("tank_connections")["clogged"].value if screened else 1.0
    return share * 1000.0 * math.pi / 4.0 * (bore_mm / 1000.0) ** 2 * _through_m_s()


def vent_bore_mm(air_l_s: float, *, screened: bool) -> float:
    """The bore of a vent that just passes so much air."""
    return math.sqrt(air_l_s / vent_l_s(1.0, screened=screened))


def _through_m_s() -> float:
    rule = table("tank_connections")
    jet_m_s = math.sqrt(2.0 * rule["vent pressure"].value / rule["air"].value)
    return table("openings")["orifice"].value * jet_m_s
