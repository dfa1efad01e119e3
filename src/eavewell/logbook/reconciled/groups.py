"""Tanks between which water moves, and that a log can therefore only tell of together."""

from dataclasses import replace
from typing import Any

from eavewell.logbook.daily_log import DailyLog
from eavewell.site.site import Site
from eavewell.storage.arrangement import MAINS


def groups_of(site: Site, log: DailyLog) -> tuple[tuple[str, ...], ...]:
    """The log's tanks, those together between which a lift or an overflow moves water."""
    group = {tank.name: {tank.name} for tank in site.tanks}
    moved = [(lift.source, lift.target) for lift in site.lifts if lift.source != MAINS]
    moved += [(tank.name, tank.overflow_to) for tank in site.tanks if tank.overflow_to in group]
    moved += [
        (use.draws_from[0], other)
        for use in site.uses
        for other in use.draws_from[1:]
        if other in group
    ]
    for one, other in moved:
        joined = group[one] | group[other]
        for name in joined:
            group[name] = joined
    groups = (tuple(name for name in log.tanks if name in group[tank]) for tank in log.tanks)
    return tuple(dict.fromkeys(groups))


def only(log: DailyLog, names: tuple[str, ...]) -> DailyLog:
    """The log of some of its tanks."""
    at = [log.tanks.index(name) for name in names]
    columns: dict[str, Any] = {
        name: getattr(log, name)[:, at] for name in ("held_l", "held_sd_l", "hauled_l")
    }
    return replace(log, tanks=names, **columns)
