"""Whether a store is what it says, large enough, and what holds its water back."""

import math
from collections.abc import Iterator

from eavewell.design import Design
from eavewell.findings.rounding import no_less, no_more
from eavewell.findings.tank_way import tank_way
from eavewell.site.finding import COMMON, Finding
from eavewell.site.hauling import Hauling
from eavewell.site.place import Show
from eavewell.site.reserve import Reserve
from eavewell.site.tank import Tank
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.series import uses_in_order
from eavewell.tables import table
from eavewell.units import show


def store_sized(design: Design) -> Iterator[Finding]:
    """Checks on the stores: three volumes of one tank, size, reserves, loads, roofs not caught."""
    for tank in design.site.tanks:
        yield from _three_volumes(design, tank)
    yield from _lifts(design)
    yield from _size(design)
    yield from _reserves(design)
    yield from _loads(design)
    for roof in design.site.roofs:
        if not roof.drains_to:
            yield Finding(
                "roof-not-caught",
                "note",
                f"roof {roof.name!r}",
                "Its water reaches no store and is not counted.",
            )


def _three_volumes(design: Design, tank: Tank) -> Iterator[Finding]:
    if tank.stated_l is None or tank.shape is None:
        return
    stated, shape = tank.count * tank.stated_l, tank.rim_l
    most = table("store_limits")["volume_difference"].value
    if abs(shape - stated) <= most * stated:
        return
    *volumes, each = (
        show(volume, "volume", system=design.site.place.show)
        for volume in (stated, shape, tank.usable_l, shape / tank.count)
    )
    yield Finding(
        "store-volumes-differ",
        "fix",
        f"tank {tank.name!r}",
        f"Stated {volumes[0]}, by its shape {volumes[1]} to the rim, usable {volumes[2]}: "
        "the first two should agree. The shape is what is reckoned with.",
        measured=abs(shape - stated) / stated,
        limit=most,
        unit="share",
        source=COMMON,
        fix=f'state each = "{each}" or correct diameter and height from the maker\'s sheet',
        changes=(((*tank_way(tank), "each"), each),),
    )


def _lifts(design: Design) -> Iterator[Finding]:
    usable = {tank.name: tank.usable_l for tank in design.site.tanks}
    system = design.site.place.show
    for lift in design.site.lifts:
        least = max(lift.source_start_l, lift.source_stop_l)
        holds = usable.get(lift.source, math.inf)
        if least >= holds:
            yield Finding(
                "lift-never-starts",
                "stop",
                f"lift {lift.name!r}",
                f"It waits for {show(least, 'volume', system=system)} in {lift.source!r}, which "
                f"holds {show(holds, 'volume', system=system)} usable: it never runs.",
                measured=least,
                limit=holds,
                unit="L",
                source="arithmetic of the site file",
                fix=f"start and stop it below {show(holds, 'volume', system=system)}",
            )


def _size(design: Design) -> Iterator[Finding]:
    size, system = design.sizing, design.site.place.show
    if size.meets_goal:
        return
    usable = design.site.tank(size.store).usable_l
    yield Finding(
        "goal-missed",
        "fix",
        f"tank {size.store!r}",
        f"The system as drawn does not reach its goal; what limits it is the {size.limiting}.",
        measured=usable,
        limit=size.smallest_l,
        unit="L",
        source="the daily balance over the record",
        fix=_ways_out(design, system=system),
    )


def _ways_out(design: Design, *, system: Show) -> str:
    size = design.sizing
    ways = []
    if size.smallest_l is not None:
        ways.append(f"{no_less(size.smallest_l, 'volume', system=system)} usable in {size.store!r}")
    if size.smallest_roof_m2 is not None:
        ways.append(f"{no_less(size.smallest_roof_m2, 'area', system=system)} of roof in all")
    if size.most_use_l_day is not None:
        ways.append(
            f"use no more than {no_more(size.most_use_l_day, 'daily', system=system)} in all"
        )
    return ", or ".join(ways) or "none of tank, roof or use alone reaches it: change two of them"


def _reserves(design: Design) -> Iterator[Finding]:
    for tank in design.site.tanks:
        yield from _held(tank.fire_reserve, where=f"tank {tank.name!r}", what="fire reserve")
    for use in design.site.uses:
        yield from _held(use.reserve, where=f"use {use.name!r}", what="reserve")
        for stage in use.stages:
            yield from _held(stage.below, where=f"use {use.name!r}", what="ration stage")


def _loads(design: Design) -> Iterator[Finding]:
    """A load must fit when it arrives, else the owner pays for water that spills."""
    site, system = design.site, design.site.place.show
    order_l = arrange(site, design.water, lanes=lanes_as_drawn(site)).truck_order_l[:, 0]
    for truck, level in zip(site.hauling, order_l, strict=True):
        room = site.tank(truck.to).usable_l - max(float(level) - _drawn_until(design, truck), 0.0)
        if truck.load_l > room:
            yield Finding(
                "load-no-room",
                "fix",
                f"tank {truck.to!r}",
                f"A load of {show(truck.load_l, 'volume', system=system)} finds room for "
                f"{show(max(room, 0.0), 'volume', system=system)} when it arrives in a dry week.",
                measured=truck.load_l,
                limit=max(room, 0.0),
                unit="L",
                source="the order level less the mean use of the lead days",
                fix="order smaller loads or at a lower level, or enlarge the tank",
            )


def _drawn_until(design: Design, truck: Hauling) -> float:
    """Mean use between order and arrival from the stores that the truck's store feeds."""
    fed, uses = design.site.fed_from(truck.to), uses_in_order(design.site)
    daily = [
        figures.mean_l_day
        for use, figures in zip(uses, design.drawn.demand, strict=True)
        if not fed.isdisjoint(use.draws_from)
    ]
    return sum(daily) * truck.lead_days


def _held(reserve: Reserve | None, *, where: str, what: str) -> Iterator[Finding]:
    """Software cannot stop a gravity line: something must hold a reserve."""
    if reserve is None or reserve.held_by not in ("agreement", "unknown"):
        return
    is_stage = what == "ration stage" and reserve.held_by == "agreement"
    yield Finding(
        "reserve-not-held",
        "note" if is_stage else "watch",
        where,
        f"The {what} is held by {reserve.held_by}: nothing in the pipework stops the draw.",
        source="trade judgement, no source",
        fix="hold it by outlet height, float, timer or valve, and name it in held_by",
    )
