"""A pump on a line: the head at its outlet, its flow at the pressures of its switch, its choice."""

from dataclasses import dataclass, replace

from eavewell.files.site.generic_pumps import generic_pump, generic_pumps
from eavewell.hydraulics.friction import pipe_loss_m
from eavewell.hydraulics.pump_curve import flow_at_l_s, head_at_m
from eavewell.site.line import Line
from eavewell.site.pump import Pump
from eavewell.tables import table


@dataclass(frozen=True, slots=True)
class PumpWorks:
    """A pump with its tank low. Heads are at its outlet, above its own level.

    reach_m     : at no flow. asked_m : at which it must give the peak flow.
    asked_l_s   : what it gives at asked_m; off_l_s : at cut-out; None without a cut-out.
    mean_l_s    : while it fills the pressure tank, or the peak flow where it follows the draw.
    smallest    : smallest generic pump of its kind that would do; None where none does.
    """

    reach_m: float
    asked_m: float
    asked_l_s: float
    off_l_s: float | None
    mean_l_s: float
    smallest: str | None


def pump_works(line: Line, water_m: float, *, asked_m: float, peak_l_s: float) -> PumpWorks:
    """A line's pump at one level of the water in its tank; the pump and its level are known."""
    assert line.pump is not None
    asked_l_s = flow_out_l_s(line, asked_m, water_m=water_m)
    off_m = line.cut_out_m if line.control == "switch" else None
    off_l_s = None if off_m is None else flow_out_l_s(line, off_m, water_m=water_m)
    if off_l_s is None:
        mean_l_s = min(peak_l_s, asked_l_s)
    else:
        mean_l_s = (asked_l_s + off_l_s) / 2.0 if off_l_s > 0.0 else asked_l_s
    return PumpWorks(
        reach_m=head_out_m(line, 0.0, water_m=water_m),
        asked_m=asked_m,
        asked_l_s=asked_l_s,
        off_l_s=off_l_s,
        mean_l_s=mean_l_s,
        smallest=smallest_pump(line, water_m, asked_m=asked_m, peak_l_s=peak_l_s),
    )


def head_out_m(line: Line, flow_l_s: float, *, water_m: float) -> float:
    """Head at the pump's outlet above its own level: its curve, the tank's water, less suction."""
    assert line.pump is not None
    assert line.pump_m is not None
    lost_m = pipe_loss_m(flow_l_s, line.suction) if line.suction and flow_l_s > 0.0 else 0.0
    return head_at_m(line.pump, flow_l_s) + water_m - line.pump_m - lost_m


def flow_out_l_s(line: Line, head_m: float, *, water_m: float) -> float:
    """Flow at a head at the pump's outlet, by halving; 0 where it does not reach it."""
    assert line.pump is not None
    low, high = 0.0, line.pump.curve[-1][0]
    if head_out_m(line, low, water_m=water_m) <= head_m:
        return 0.0
    if head_out_m(line, high, water_m=water_m) >= head_m:
        return high
    for _ in range(40):
        middle = (low + high) / 2.0
        above = head_out_m(line, middle, water_m=water_m) > head_m
        low, high = (middle, high) if above else (low, middle)
    return low


def smallest_pump(line: Line, water_m: float, *, asked_m: float, peak_l_s: float) -> str | None:
    """Smallest generic pump of the line's kind that gives the peak flow and reaches its cut-out."""
    assert line.pump is not None
    for name in generic_pumps():
        pump = generic_pump(name)
        if pump.kind != line.pump.kind:
            continue
        with_it = replace(line, pump=pump)
        enough = flow_out_l_s(with_it, asked_m, water_m=water_m) >= peak_l_s
        if enough and head_out_m(with_it, 0.0, water_m=water_m) >= must_reach_m(line):
            return name
    return None


def must_reach_m(line: Line) -> float:
    """Head at no flow that a pump needs, so that it stops at cut-out though worn; 0 on demand."""
    if line.control == "on demand" or line.cut_out_m is None:
        return 0.0
    return table("service")["reach over cut-out"].value * line.cut_out_m


def held_at(line: Line, head_m: float, *, water_m: float) -> Line:
    """The line with a pump that never gives more than the head its control holds."""
    assert line.pump is not None
    assert line.pump_m is not None
    lifts_m = max(head_m - (water_m - line.pump_m), 0.01)
    if lifts_m >= line.pump.shut_off_m:
        return line
    longer = _beyond(line.pump, lifts_m)
    flat = flow_at_l_s(longer, lifts_m)
    points = [(0.0, lifts_m + 1e-3), (flat, lifts_m)]
    points += [(flow, head) for flow, head in longer.curve if flow > flat * 1.0001]
    return replace(line, pump=replace(longer, curve=tuple(points)))


def _beyond(pump: Pump, head_m: float) -> Pump:
    """The pump with its curve led on, as steep as at its end, to below a head."""
    (flow, head), (last_l_s, last_m) = pump.curve[-2:]
    falls = (head - last_m) / (last_l_s - flow)
    far_m = min(last_m, head_m) - falls * last_l_s
    return replace(pump, curve=(*pump.curve, (last_l_s + (last_m - far_m) / falls, far_m)))
