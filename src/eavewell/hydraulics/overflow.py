"""What the overflows of a tank carry before water stands over its rim."""

import math
from dataclasses import replace

from eavewell.hydraulics.friction import most_flow_l_s
from eavewell.hydraulics.openings import side_hole_l_s, weir_l_s
from eavewell.hydraulics.standard_sizes import standard_bores
from eavewell.site.pipe import Pipe
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Overflow
from eavewell.tables import table

_HIGHEST_WEIR_M = 2.0
_MOST_OVERFLOWS = 12


def freeboards_m(tank: Tank) -> tuple[float, ...]:
    """From each tank's overflow to the lowest rim of the row; () where a level is unknown."""
    if tank.shape is None or tank.overflow_m is None:
        return ()
    free_m = tank.shape.height_m - tank.overflow_m
    floors = tank.fittings.bases_m or (0.0,) * tank.count
    return tuple(free_m - (floor - min(floors)) for floor in floors)


def overflow_l_s(tank: Tank) -> float | None:
    """Flow of all overflows with the water at the lowest rim; None where unknown.

    Neighbours spill no more than the linking pipe brings them.
    """
    overflow, free = tank.fittings.overflow, freeboards_m(tank)
    if overflow is None or not free or (overflow.pipe is None and overflow.weir_m is None):
        return None
    first, *rest = sorted((_one_l_s(tank, overflow, free_m=one) for one in free), reverse=True)
    passes = link_l_s(tank) if rest else None
    return first + (sum(rest) if passes is None else min(sum(rest), passes))


def link_l_s(tank: Tank) -> float | None:
    """Flow of the linking pipe at a level difference of the freeboard; None where unknown."""
    link, free = tank.fittings.link, freeboards_m(tank)
    if link is None or not free:
        return None
    return pipe_flow_l_s(link.pipe, max(free))


def pipe_flow_l_s(pipe: Pipe, head_m: float) -> float:
    """Flow of a pipe between two bodies of water, its entrance and exit counted."""
    if pipe.bore_mm < 1.0:
        return 0.0
    listed = {name for name, _ in pipe.fittings}
    ends = tuple((name, 1) for name in ("entrance", "exit") if name not in listed)
    return most_flow_l_s(head_m, replace(pipe, fittings=(*pipe.fittings, *ends)))


def pipe_head_m(tank: Tank, overflow: Overflow, *, free_m: float) -> float | None:
    """From the water at the rim to where the overflow's pipe lets go; None where unknown."""
    assert overflow.pipe is not None
    if overflow.end_m is not None and tank.base_m is not None and tank.overflow_m is not None:
        return tank.base_m + tank.overflow_m + free_m - overflow.end_m
    if overflow.fall is not None:
        return free_m + overflow.fall * overflow.pipe.length_m
    return None


def with_overflow(tank: Tank, *, bore_mm: float | None = None, count: int | None = None) -> Tank:
    """The tank with overflows of another bore or number."""
    overflow = tank.fittings.overflow or Overflow()
    if bore_mm is not None:
        pipe = replace(overflow.pipe, bore_mm=bore_mm) if overflow.pipe else Pipe(bore_mm, 0.0)
        overflow = replace(overflow, pipe=pipe, weir_m=None)
    changed = replace(overflow, count=count or overflow.count)
    return replace(tank, fittings=replace(tank.fittings, overflow=changed))


def overflow_bore(tank: Tank, flow_l_s: float, *, family: str) -> tuple[str, float] | None:
    """The smallest size sold, its name and bore, that carries a flow and fits below the rim."""
    highest_mm = 1000.0 * max(freeboards_m(tank), default=0.0)
    for name, bore_mm in standard_bores(family):
        carried = overflow_l_s(with_overflow(tank, bore_mm=bore_mm))
        if bore_mm <= highest_mm and (carried or 0.0) >= flow_l_s:
            return name, bore_mm
    return None


def lower_overflow(tank: Tank, flow_l_s: float, *, family: str) -> tuple[str, Tank] | None:
    """The size, by its name, that carries a flow with the least volume lost, and the tank with it.

    Its opening fits below the rim; None where no size above the outlet does it.
    """
    best: tuple[str, Tank] | None = None
    for name, bore_mm in standard_bores(family):
        lowered = _lowered(with_overflow(tank, bore_mm=bore_mm), flow_l_s, bore_mm=bore_mm)
        if lowered and (best is None or lowered.full_l > best[1].full_l):
            best = (name, lowered)
    return best


def _lowered(tank: Tank, flow_l_s: float, *, bore_mm: float) -> Tank | None:
    """The tank with its overflow just so low that it carries the flow, and fits below the rim."""
    free = freeboards_m(tank)
    if not free or tank.overflow_m is None:
        return None
    low_m = tank.outlet_m or 0.0
    high_m = tank.overflow_m - max(bore_mm / 1000.0 - max(free), 0.0)
    if high_m <= low_m or not _carries(tank, low_m, flow_l_s=flow_l_s):
        return None
    if _carries(tank, high_m, flow_l_s=flow_l_s):
        return replace(tank, overflow_m=high_m)
    for _ in range(40):
        middle_m = (low_m + high_m) / 2.0
        enough = _carries(tank, middle_m, flow_l_s=flow_l_s)
        low_m, high_m = (middle_m, high_m) if enough else (low_m, middle_m)
    return replace(tank, overflow_m=low_m)


def _carries(tank: Tank, overflow_m: float, *, flow_l_s: float) -> bool:
    return (overflow_l_s(replace(tank, overflow_m=overflow_m)) or 0.0) >= flow_l_s


def overflow_count(tank: Tank, flow_l_s: float) -> int | None:
    """The least number of such overflows on each tank that carries a flow; None above twelve."""
    for count in range(1, _MOST_OVERFLOWS + 1):
        if (overflow_l_s(with_overflow(tank, count=count)) or 0.0) >= flow_l_s:
            return count
    return None


def equal_bore_mm(overflow: Overflow) -> float | None:
    """Bore of one pipe as wide as all overflows of a tank; None for a spillway."""
    if overflow.pipe is None:
        return None
    return overflow.pipe.bore_mm * math.sqrt(overflow.count)


def _one_l_s(tank: Tank, overflow: Overflow, *, free_m: float) -> float:
    """All overflows of one tank of a row."""
    if free_m <= 0.0:
        return 0.0
    share = table("tank_connections")["clogged"].value if overflow.screened else 1.0
    if overflow.weir_m is not None:
        return share * overflow.count * weir_l_s(overflow.weir_m, min(free_m, _HIGHEST_WEIR_M))
    assert overflow.pipe is not None
    hole = share * side_hole_l_s(overflow.pipe.bore_mm, free_m)
    head_m = pipe_head_m(tank, overflow, free_m=free_m)
    if head_m is not None:
        hole = min(hole, pipe_flow_l_s(overflow.pipe, head_m))
    return overflow.count * hole
