"""A pressure tank by Boyle's law: what it gives between cut-out and cut-in, and the size needed."""

from eavewell.faults import OutOfRange
from eavewell.site.pump import Pump
from eavewell.tables import table
from eavewell.units import read


def acceptance(precharge_m: float, *, cut_in_m: float, cut_out_m: float, air_m: float) -> float:
    """Share of its volume that a pressure tank gives between cut-out and cut-in.

    Heads above the air's at the tank; air_m : of the air itself at the place. Air charged above
    cut-in leaves no water at cut-in: the tank then runs dry before the pump starts.
    """
    if not 0.0 <= cut_in_m < cut_out_m or air_m <= 0.0 or precharge_m < 0.0:
        raise OutOfRange("A pressure tank works between a cut-in and a higher cut-out.")
    air, empty_at = precharge_m + air_m, max(precharge_m, cut_in_m)
    return max(air / (empty_at + air_m) - air / (cut_out_m + air_m), 0.0)


def least_run_min(pump: Pump) -> float | None:
    """Shortest run that does not wear a motor; None where its power is unknown."""
    if pump.motor_w is None:
        return None
    rule = table("service")
    large = pump.motor_w >= read(f"{rule['larger motor'].value:g} hp", "power") * 0.999
    return rule["run of a larger motor" if large else "run of a small motor"].value


def drawdown_needed_l(flow_l_s: float, run_min: float) -> float:
    """Water that must lie between cut-in and cut-out for a run of so many minutes."""
    return 60.0 * flow_l_s * run_min


def precharge_rule_m(cut_in_m: float) -> float:
    """Air of a switched tank without water: 2 psi below cut-in."""
    below = read(f"{table('service')['precharge below cut-in'].value:g} psi", "pressure")
    return max(cut_in_m - below, 0.0)
