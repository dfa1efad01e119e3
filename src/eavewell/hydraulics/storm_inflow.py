"""What comes at each store in its design storm."""

from eavewell.hydraulics.lift import Storms
from eavewell.site.lift import Lift
from eavewell.site.site import Site
from eavewell.weather.design_storm import storm_for


def storm_inflow_l_s(site: Site, storms: Storms) -> dict[str, float | None]:
    """Flow at each store with the overflow's storm on its roofs; None where a part is unknown.

    Roofs by their plan area, lifts at their pump's largest flow, mains make-up, and what stores
    above spill into it. Water that a lift only takes round in a circle counts once.
    """
    purpose = storm_for("overflow")
    found = storms.intensity(purpose.minutes, purpose.years)
    mm_h = None if found is None else found.mm_h
    return {tank.name: _into(site, tank.name, mm_h=mm_h, below=()) for tank in site.tanks}


def _into(site: Site, name: str, *, mm_h: float | None, below: tuple[str, ...]) -> float | None:
    """Sum of the parts; below : the stores it spills into, whose lifts do not count again."""
    path = (*below, name)
    parts = [
        _roofs_l_s(site, name, mm_h=mm_h),
        *(_lift_l_s(site, one) for one in site.lifts if _brings(one, name, below=below)),
        site.tank(name).fittings.make_up_l_s or 0.0,
        *(
            _into(site, tank.name, mm_h=mm_h, below=path)
            for tank in site.tanks
            if tank.overflow_to == name and tank.name not in path
        ),
    ]
    known = [part for part in parts if part is not None]
    return sum(known) if len(known) == len(parts) else None


def _brings(lift: Lift, name: str, *, below: tuple[str, ...]) -> bool:
    return lift.target == name and lift.source not in below


def _roofs_l_s(site: Site, name: str, *, mm_h: float | None) -> float | None:
    area_m2 = sum(roof.plan_area_m2 for roof in site.roofs if roof.drains_to == name)
    if area_m2 == 0.0:
        return 0.0
    return None if mm_h is None else mm_h * area_m2 / 3600.0


def _lift_l_s(site: Site, lift: Lift) -> float | None:
    if lift.pump is not None:
        return lift.pump.curve[-1][0]
    if lift.source == "mains" and site.tank(lift.target).fittings.make_up_l_s is not None:
        return 0.0  # counted as make-up
    return None
