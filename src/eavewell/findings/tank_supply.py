"""Whether mains and trucks that fill a tank stay apart from its water."""

from collections.abc import Iterator

from eavewell.findings.rounding import no_less
from eavewell.hydraulics.tank_connections import Connected
from eavewell.site.finding import COMMON, Finding
from eavewell.site.lift import Lift
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import sources, table
from eavewell.units import show

DECIDES = (
    "Screening, not design approval: a licensed plumber and the authority having jurisdiction "
    "decide."
)


def supply_apart(site: Site, one: Connected) -> Iterator[Finding]:
    """Checks on mains make-up and on a truck's fill into one tank."""
    make_ups = [lift for lift in site.lifts if (lift.source, lift.target) == ("mains", _name(one))]
    if make_ups or one.tank.fittings.make_up_l_s or _falls_back(site, one.tank):
        yield from _air_gap(site, one.tank, make_ups=make_ups)
    for lift in make_ups:
        yield from _runs_early(site, lift)
    if one.hauled_l_s and one.tank.fittings.truck_fill_gap is False:
        yield _truck(one.tank)


def _name(one: Connected) -> str:
    return one.tank.name


def _where(tank: Tank) -> str:
    return f"tank {tank.name!r}"


def _falls_back(site: Site, tank: Tank) -> bool:
    return any(use.fallback == "mains" and tank.name in use.draws_from for use in site.uses)


def least_gap_m(make_ups: list[Lift]) -> float:
    """Two bores of the make-up pipe where it is known, and an inch at least."""
    rule = table("tank_connections")
    bores = [lift.riser.bore_mm / 1000.0 for lift in make_ups if lift.riser]
    return max(rule["air gap"].value, *(rule["air gap bores"].value * bore for bore in (0, *bores)))


def _air_gap(site: Site, tank: Tank, *, make_ups: list[Lift]) -> Iterator[Finding]:
    gap_m, device = tank.fittings.air_gap_m, tank.fittings.backflow_device
    least = least_gap_m(make_ups)
    if gap_m is not None and gap_m >= least * (1.0 - 1e-9):
        return
    if device not in ("", "none"):
        yield _device(tank, device)
        return
    free = no_less(least, "length", system=site.place.show)
    fix = f"{free} of free air between the make-up's end and the rim of the tank"
    if gap_m is None:
        yield Finding(
            "air-gap-unknown",
            "stop",
            _where(tank),
            "The mains make it up, and neither an air gap nor a listed device is stated: with "
            f"neither it is not approvable. {DECIDES}",
            limit=least,
            unit="m",
            source=_gap_source(),
            fix=fix,
        )
        return
    yield Finding(
        "make-up-without-air-gap",
        "stop",
        _where(tank),
        "Tank water can be drawn back into the mains; otherwise than with an air gap or a "
        f"listed device it is not approvable. {DECIDES}",
        measured=gap_m,
        limit=least,
        unit="m",
        source=_gap_source(),
        fix=fix,
    )


def _gap_source() -> str:
    return sources()[table("tank_connections")["air gap bores"].source]["title"]


def _device(tank: Tank, device: str) -> Finding:
    return Finding(
        "backflow-device-tested",
        "watch",
        _where(tank),
        f"A device holds tank water back from the mains in place of an air gap: {device}. Whether "
        "its kind is allowed here is for the authority having jurisdiction; a licensed tester "
        f"tests it when it is fitted and as often as the authority asks. {DECIDES}",
        source=COMMON,
    )


def _runs_early(site: Site, lift: Lift) -> Iterator[Finding]:
    most = table("tank_connections")["make-up start"].value
    if lift.target_start_share <= most:
        return
    at = show(most, "share", system=site.place.show)
    yield Finding(
        "make-up-hides-failure",
        "watch",
        f"lift {lift.name!r}",
        "The mains run while the tank still holds water: they leave the rain no room, and a leak "
        "or a blocked screen goes unseen.",
        measured=lift.target_start_share,
        limit=most,
        unit="share",
        source=COMMON,
        fix=f"start it at {at} or less, and meter it",
        changes=((("lift", lift.name, "target_start"), at),),
    )


def _truck(tank: Tank) -> Finding:
    return Finding(
        "truck-fill-without-gap",
        "fix",
        _where(tank),
        f"A hose that hangs in the water is a cross-connection with the truck. {DECIDES}",
        source=COMMON,
        fix="a fill pipe that ends above the rim with free air below it",
    )
