"""Which sizes and uses of a site trigger something that an authority asks for."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.site.authority import Authority, Trigger
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box, HorizontalCylinder, StrappingTable, TankShape
from eavewell.treatment.classes import cases_of

# a size read from a text and the same size reckoned from a shape agree to this share
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Met:
    """One trigger against a site.

    is_met   : None where it is not met by what is known and something is unknown.
    things   : what meets it, such as "tank 'main'". unknown : what is to be found out.
    measured : the largest of its measures, in the unit of the trigger; None where not measured.
    """

    trigger: Trigger
    is_met: bool | None
    things: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    measured: float | None = None


def triggers_met(site: Site, authority: Authority) -> tuple[Met, ...]:
    """Every trigger of the authority, in its order; sumps are no tanks here."""
    return tuple(_met(site, trigger) for trigger in authority.triggers)


def cases(site: Site) -> frozenset[str]:
    """Every class of use and marked case at the site."""
    return frozenset(case for use in site.uses for case in cases_of(use))


def height_over_width(shape: TankShape) -> float | None:
    """Height over the least width on the ground; None for a measured table, which has none."""
    if isinstance(shape, StrappingTable):
        return None
    if isinstance(shape, Box):
        return shape.height_m / min(shape.length_m, shape.width_m)
    if isinstance(shape, HorizontalCylinder):
        return shape.diameter_m / min(shape.length_m, shape.diameter_m)
    return shape.height_m / shape.diameter_m


def _met(site: Site, trigger: Trigger) -> Met:
    tanks = [tank for tank in site.tanks if not tank.is_sump]
    match trigger.measure:
        case "total volume":
            return _total(trigger, tanks)
        case "tank volume":
            sizes = {_called(tank): tank.rim_l / tank.count or None for tank in tanks}
            return _largest(trigger, sizes)
        case "height over width":
            above_ground = [tank for tank in tanks if tank.burial is None]
            return _largest(trigger, {_called(tank): _ratio(tank) for tank in above_ground})
        case "end use":
            return _end_use(site, trigger)
        case _:
            things = tuple(_found(site, trigger))
            return Met(trigger, bool(things), things)


def _called(tank: Tank) -> str:
    return f"tank {tank.name!r}"


def _ratio(tank: Tank) -> float | None:
    return None if tank.shape is None else height_over_width(tank.shape)


def _total(trigger: Trigger, tanks: list[Tank]) -> Met:
    """All together; below the size as long as a tank of unknown size is among them nobody knows."""
    total_l = sum(tank.rim_l for tank in tanks)
    above, unknown = (
        _is_above(total_l, trigger),
        tuple(_called(one) for one in tanks if not one.rim_l),
    )
    things = ("all tanks together",) if above else ()
    return Met(trigger, True if above else None if unknown else False, things, unknown, total_l)


def _largest(trigger: Trigger, sizes: dict[str, float | None]) -> Met:
    known = {name: size for name, size in sizes.items() if size is not None}
    things = tuple(name for name, size in known.items() if _is_above(size, trigger))
    unknown = tuple(name for name, size in sizes.items() if size is None)
    is_met = True if things else None if unknown else False
    return Met(trigger, is_met, things, unknown, max(known.values(), default=None))


def _is_above(measured: float, trigger: Trigger) -> bool:
    return trigger.above is not None and measured > trigger.above * (1.0 + _SAME)


def _end_use(site: Site, trigger: Trigger) -> Met:
    """Uses of a class or case; a case that is not told of a use is unknown."""
    things = tuple(f"use {use.name!r}" for use in site.uses if trigger.end_use in cases_of(use))
    unknown = tuple(
        f"use {use.name!r}" for use in site.uses if getattr(use, trigger.end_use, False) is None
    )
    return Met(trigger, True if things else None if unknown else False, things, unknown)


def _found(site: Site, trigger: Trigger) -> Iterator[str]:
    """What meets a trigger that measures nothing."""
    if trigger.measure == "rebate":
        yield from (f"rebate {rebate.name!r}" for rebate in site.money.rebates)
        return
    yield from (f"lift {lift.name!r}" for lift in site.lifts if lift.source == "mains")
    yield from (_called(tank) for tank in site.tanks if tank.fittings.make_up_l_s)
    yield from (f"use {use.name!r}" for use in site.uses if use.fallback == "mains")
