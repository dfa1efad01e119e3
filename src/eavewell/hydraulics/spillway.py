"""What a sump's spillway carries away before water stands over the rim."""

from dataclasses import replace

from eavewell.hydraulics.openings import side_hole_l_s, weir_l_s
from eavewell.hydraulics.overflow import pipe_flow_l_s, pipe_head_m
from eavewell.hydraulics.standard_sizes import standard_bores
from eavewell.site.pipe import Pipe
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Overflow
from eavewell.tables import table


def freeboard_m(sump: Tank) -> float | None:
    """From the level at which the sump begins to spill to its rim; None where unknown."""
    if sump.shape is None or sump.overflow_m is None:
        return None
    return sump.shape.height_m - sump.overflow_m


def spillway_l_s(sump: Tank) -> float | None:
    """Flow of the spillway with the water at the rim; None where there is none or it is unknown.

    A pipe passes what its opening does, whose lowest point is where the sump begins to spill, and
    where its fall or end is known no more than its friction lets through; an open spillway what a
    weir does; a screened one half of it.
    """
    spillway, head_m = sump.fittings.overflow, freeboard_m(sump)
    if spillway is None or head_m is None:
        return None
    share = table("sump")["clogged"].value if spillway.screened else 1.0
    one = _one_l_s(sump, spillway, head_m=head_m, share=share)
    return None if one is None else spillway.count * sump.count * one


def spillway_bore_mm(sump: Tank, flow_l_s: float, *, family: str = "pipe") -> float | None:
    """The smallest pipe sold that fits below the rim and carries a flow there; None if none."""
    highest_mm = 1000.0 * (freeboard_m(sump) or 0.0)
    for _, bore_mm in standard_bores(family):
        carried = spillway_l_s(with_spillway(sump, bore_mm))
        if bore_mm <= highest_mm and carried is not None and carried >= flow_l_s:
            return bore_mm
    return None


def with_spillway(sump: Tank, bore_mm: float) -> Tank:
    """The sump with a spillway of another bore."""
    spillway = sump.fittings.overflow or Overflow()
    pipe = replace(spillway.pipe, bore_mm=bore_mm) if spillway.pipe else Pipe(bore_mm, 1.0)
    changed = replace(spillway, pipe=pipe, weir_m=None)
    return replace(sump, fittings=replace(sump.fittings, overflow=changed))


def _one_l_s(sump: Tank, spillway: Overflow, *, head_m: float, share: float) -> float | None:
    """One spillway, its opening open to a share."""
    if spillway.weir_m is not None:
        return share * weir_l_s(spillway.weir_m, max(head_m, 0.0))
    if spillway.pipe is None:
        return None
    hole = share * side_hole_l_s(spillway.pipe.bore_mm, head_m)
    falls_m = pipe_head_m(sump, spillway, free_m=head_m)
    return hole if falls_m is None else min(hole, pipe_flow_l_s(spillway.pipe, falls_m))
