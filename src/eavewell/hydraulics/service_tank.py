"""The pressure tank of a line: what it gives, how long the pump runs, how often it starts."""

from dataclasses import dataclass

from eavewell.hydraulics.pressure_tank import (
    acceptance,
    drawdown_needed_l,
    least_run_min,
    precharge_rule_m,
)
from eavewell.hydraulics.sump_cycle import between_floats_l, most_starts_h, starts_allowed
from eavewell.site.line import Line


@dataclass(frozen=True, slots=True)
class TankWorks:
    """A pressure tank between cut-out and cut-in, heads at its own level.

    precharge_m : its air, by rule where it is unknown; rule_m : what the rule asks.
    gives_l     : between cut-out and cut-in. run_min : of the pump to fill that.
    starts_h    : most in an hour, with half the pump's flow drawn; None where it gives nothing.
    needed_l    : size for the least run and the starts allowed, its air by rule.
    """

    cut_in_m: float
    cut_out_m: float
    precharge_m: float
    rule_m: float
    share: float
    gives_l: float
    run_min: float
    least_run_min: float | None
    starts_h: float | None
    starts_allowed_h: float | None
    needed_l: float | None


def tank_works(line: Line, *, flow_l_s: float, air_m: float) -> TankWorks | None:
    """A switched line's pressure tank; None without one, without its switch, or without flow.

    flow_l_s : of the pump between cut-in and cut-out.
    """
    tank, pump = line.pressure_tank, line.pump
    if tank is None or pump is None or line.control != "switch" or flow_l_s <= 0.0:
        return None
    heads = at_tank_m(line)
    if heads is None or heads[0] < 0.0 or heads[1] <= heads[0]:
        return None
    cut_in, cut_out = heads
    rule = precharge_rule_m(cut_in)
    air = rule if tank.precharge_m is None else tank.precharge_m
    share = acceptance(air, cut_in_m=cut_in, cut_out_m=cut_out, air_m=air_m)
    gives, allowed, least = tank.size_l * share, starts_allowed(pump), least_run_min(pump)
    wanted = 0.0 if least is None else drawdown_needed_l(flow_l_s, least)
    if allowed is not None:
        wanted = max(wanted, between_floats_l(flow_l_s, starts_h=allowed.value))
    full = acceptance(rule, cut_in_m=cut_in, cut_out_m=cut_out, air_m=air_m)
    return TankWorks(
        cut_in_m=cut_in,
        cut_out_m=cut_out,
        precharge_m=air,
        rule_m=rule,
        share=share,
        gives_l=gives,
        run_min=gives / flow_l_s / 60.0,
        least_run_min=least,
        starts_h=most_starts_h(gives, flow_l_s) if gives > 0.0 else None,
        starts_allowed_h=allowed.value if allowed else None,
        needed_l=wanted / full if wanted > 0.0 else None,
    )


def at_tank_m(line: Line) -> tuple[float, float] | None:
    """Cut-in and cut-out at the level of the pressure tank; None where they are unknown."""
    if line.pressure_tank is None or line.cut_in_m is None or line.cut_out_m is None:
        return None
    level_m, pump_m = line.pressure_tank.level_m, line.pump_m
    above_m = 0.0 if level_m is None or pump_m is None else level_m - pump_m
    return line.cut_in_m - above_m, line.cut_out_m - above_m
