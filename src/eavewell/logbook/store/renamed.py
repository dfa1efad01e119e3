"""A gauge by another name: what was read under the old one stands under the new, nothing lost."""

from dataclasses import replace

import sqlalchemy as sa

from eavewell.faults import BadLog
from eavewell.logbook.store.corrected import Correction, put_right, struck
from eavewell.logbook.store.layout import correction, day_sum, gauge, reading
from eavewell.logbook.store.read import entry_at
from eavewell.logbook.store.sums import recount_gauge
from eavewell.logbook.store.written import Log
from eavewell.site.entry import Reading

_TOLD = 3


def renamed(log: Log, was: str, *, name: str, because: Correction) -> int:
    """Put all readings of a gauge under another name; how many stood.

    Where both names have a reading at one instant and both say the same, it stands once; where
    they differ BadLog names them, and nothing is done.
    """
    old, new = log.gauge_key(was), log.gauge_key(name)
    stood = _count(log, old)
    if stood and new < 0:
        log.connection.execute(sa.update(gauge).where(gauge.c.key == old).values(name=name))
    elif stood:
        _joined(log, old, new=new, because=because)
    return stood


def _count(log: Log, key: int) -> int:
    stands = sa.select(sa.func.count()).where(reading.c.gauge_key == key, ~reading.c.struck)
    return int(log.connection.execute(stands).scalar_one())


def _joined(log: Log, old: int, *, new: int, because: Correction) -> None:
    for mine, theirs in _at_one_instant(log, old, new=new):
        right = entry_at(log, "reading", key=mine)
        struck(log, "reading", key=mine, because=because)
        if theirs is not None:
            there = entry_at(log, "reading", key=theirs)
            assert isinstance(right, Reading) and isinstance(there, Reading)
            right = replace(right, gauge=there.gauge)
            put_right(log, theirs, right=right, because=because)
    run = log.connection.execute
    taken = sa.select(reading.c.at_ms).where(reading.c.gauge_key == new)
    moved = reading.c.gauge_key == old, reading.c.at_ms.not_in(taken)
    run(sa.update(reading).where(*moved).values(gauge_key=new))
    run(sa.update(correction).where(correction.c.gauge_key == old).values(gauge_key=new))
    run(sa.delete(day_sum).where(day_sum.c.gauge_key == old))
    recount_gauge(log.connection, new, zone=log.zone)


def _at_one_instant(log: Log, old: int, *, new: int) -> list[tuple[int, int | None]]:
    """Standing readings of the old name at an instant that the new one has.

    Each with the key of the new one where that was struck out, so that it must stand again.
    """
    there = reading.alias("there")
    asked = (
        sa.select(reading.c.key, there.c.key, there.c.struck, reading.c.value == there.c.value)
        .join(there, reading.c.at_ms == there.c.at_ms)
        .where(reading.c.gauge_key == old, there.c.gauge_key == new, ~reading.c.struck)
        .order_by(reading.c.at_ms)
    )
    rows = log.connection.execute(asked).all()
    differ = [f"r{mine} and r{theirs}" for mine, theirs, out, same in rows if not (out or same)]
    if differ:
        more = f" and {len(differ) - _TOLD:,} more" if len(differ) > _TOLD else ""
        raise BadLog(
            f"Nothing was renamed: at one instant the two names say two things, "
            f"{', '.join(differ[:_TOLD])}{more}. Strike one of each: eavewell log strike."
        )
    return [(mine, theirs if out else None) for mine, theirs, out, _ in rows]
