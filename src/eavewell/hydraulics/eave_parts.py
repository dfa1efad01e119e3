"""The parts of a gutter run and what each carries of it."""

from collections.abc import Callable
from dataclasses import dataclass

from eavewell.faults import OutOfRange
from eavewell.hydraulics.downspouts import downspout_l_s, outlet_l_s, transition_l_s
from eavewell.hydraulics.gutters import gutter_l_s
from eavewell.hydraulics.roof_methods import Method
from eavewell.site.gutter import Gutter
from eavewell.site.roof import Roof


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a gutter run.

    name         : gutter, outlet, downspout or transition.
    capacity_l_s : what it carries of the whole run, all downspouts together; None unknown.
    unknown      : what is not known, or why no rule reaches it.
    """

    name: str
    capacity_l_s: float | None
    unknown: str = ""


def parts_of(gutter: Gutter, method: Method) -> tuple[Part, ...]:
    """What gutter, outlets, downspouts and the pipes below them carry of the whole run."""
    parts = [_part("gutter", lambda: gutter_l_s(gutter, method))]
    spout = gutter.downspout
    if spout is None:
        return (*parts, Part("downspout", None, "its downspout is not described"))
    parts.append(_part("outlet", lambda: gutter.spouts * outlet_l_s(gutter, spout)))
    parts.append(_part("downspout", lambda: gutter.spouts * downspout_l_s(spout, method)))
    if spout.into_mm is not None:
        below = _part("transition", lambda: gutter.spouts * (transition_l_s(spout, method) or 0.0))
        parts.append(below)
    return tuple(parts)


def plan_areas_m2(roof: Roof) -> tuple[float, ...]:
    """Plan area that drains to each gutter: as stated, the rest shared by length."""
    stated = sum(gutter.plan_area_m2 or 0.0 for gutter in roof.gutters)
    shared_m = sum(g.length_m for g in roof.gutters if g.plan_area_m2 is None)
    rest = max(roof.plan_area_m2 - stated, 0.0)
    return tuple(
        rest * g.length_m / shared_m if g.plan_area_m2 is None else g.plan_area_m2
        for g in roof.gutters
    )


def _part(name: str, capacity: Callable[[], float]) -> Part:
    try:
        return Part(name, capacity())
    except OutOfRange as fault:
        return Part(name, None, str(fault))
