"""What the system does to the storm-water around the building."""

from collections.abc import Iterator

from eavewell.findings.rounding import no_less
from eavewell.site.finding import COMMON, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.stormwater.before_after import Spot, StormWater
from eavewell.tables import table
from eavewell.units import show


def ground_kept(site: Site, found: StormWater) -> Iterator[Finding]:
    """Checks on storm-water: what may be credited, room before storms, standing water."""
    if site.ground.area_m2 is None and not site.ground.low_spots:
        return
    system = site.place.show
    if found.unknown:
        says = f"Not checked: {', '.join(found.unknown)} unknown."
        yield Finding("storm-water-not-checked", "note", "ground", says)
    yield from _room(found, system)
    for spot in found.spots:
        yield from _stands(spot, system)


def _room(found: StormWater, system: Show) -> Iterator[Finding]:
    whole = found.room_in("year")
    if whole is None or found.usable_l <= 0.0:
        return
    tenth, mean = (show(v, "volume", system=system) for v in (whole.tenth_l, whole.mean_l))
    if whole.tenth_l < _least_l(found):
        yield Finding(
            "seldom-room-for-storms",
            "watch",
            "tanks",
            f"One storm in ten finds no more than {tenth} of room (the mean is {mean}): the tanks "
            "earn little storm-water credit.",
            measured=whole.tenth_l,
            limit=_least_l(found),
            unit="L",
            source=COMMON,
            fix=_open(found, system),
        )
    else:
        yield Finding(
            "storm-water-credit",
            "note",
            "tanks",
            f"For storm-water count {tenth} of room, which nine storms in ten find, not the tanks' "
            f"size; the mean is {mean}. The storm-water authority decides what it credits.",
            measured=whole.tenth_l,
            limit=found.usable_l,
            unit="L",
            source="the daily balance over the record",
        )


def _least_l(found: StormWater) -> float:
    return table("storm_water")["seldom room"].value * found.usable_l


def _open(found: StormWater, system: Show) -> str:
    held = found.held_open
    if held is None or held.room_tenth_l < _least_l(found):
        return "more use in the wet season, or a second outlet that holds a part open"
    room, lost = (show(v, "volume", system=system) for v in (held.room_tenth_l, held.lost_l_year))
    part = show(held.share, "share", system=system)
    return (
        f"a second outlet that holds {part} of the tank open keeps {room} of room and "
        f"costs the uses {lost} a year"
    )


def _stands(spot: Spot, system: Show) -> Iterator[Finding]:
    limit = table("storm_water")["stands too long"].value
    hours, never = spot.soak_after_h, spot.spot.infiltration_mm_h == 0.0 and bool(spot.after_mm)
    if not never and (hours is None or hours <= limit):
        return
    rate = spot.after_mm / limit if spot.after_mm is not None else 0.0
    before = spot.soak_before_h
    relief = (
        f", {before:.0f} before its roofs were caught"
        if before and hours and before > hours
        else ""
    )
    stands = f"for {hours:.0f} hours{relief}" if hours else "until it dries up"
    yield Finding(
        "water-stands",
        "watch",
        f"low spot {spot.spot.name!r}",
        f"After the 2-year day water stands {stands}: mosquitoes breed.",
        measured=hours,
        limit=limit,
        unit="h",
        source=COMMON,
        fix=f"ground that takes {no_less(rate, 'intensity', system=system)}, or a fall to drain it",
    )
