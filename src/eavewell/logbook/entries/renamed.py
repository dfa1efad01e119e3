"""Names in the log that the site file has no more: told, and read as another when somebody says."""

import shlex
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime

from eavewell.answers.shown import count, day
from eavewell.faults import BadLog, Fault
from eavewell.files.site.field_values import near
from eavewell.logbook.kept import Kept, KeptByName
from eavewell.logbook.readings.gauges import RAIN, gauges_of
from eavewell.logbook.readings.meters import NEW_METER
from eavewell.logbook.store.store import Store
from eavewell.site.entry import Done, Entry, Load, Note
from eavewell.site.site import Site


@dataclass(frozen=True, slots=True)
class Renamed:
    """How many readings, and how many other entries, stand under the new name now."""

    was: str
    name: str
    readings: int
    others: int

    @property
    def says(self) -> str:
        """A sentence."""
        entry = "entry" if self.others == 1 else "entries"
        others = f", {self.others:,} other {entry}" if self.others else ""
        return f"From '{self.was}' to '{self.name}': {count(self.readings, 'reading')}{others}."


@dataclass(frozen=True, slots=True)
class Gone:
    """A name that stands in the log and not in the site file; likely : which it may have there."""

    name: str
    says: str
    likely: tuple[str, ...]

    @property
    def words(self) -> str:
        """What is so, and the way out."""
        now = shlex.quote(self.likely[0]) if len(self.likely) == 1 else "NAME"
        return (
            f"{self.says} Where it has another name now: eavewell log rename "
            f"{shlex.quote(self.name)} {now}; else give the site file its name again."
        )


def gone(site: Site, kept: Kept) -> tuple[Gone, ...]:
    """Names under which readings or loads stand, and that the site file has no more.

    They are kept, but count nowhere.
    """
    tanks = tuple(tank.name for tank in site.tanks)
    loads = dict.fromkeys(one.to for _, one in kept.entries("load") if isinstance(one, Load))
    to_none = tuple(
        Gone(
            name,
            f"Loads to '{name}' stand in the log, but the site file has no such tank: they are "
            f"kept and count nowhere.",
            tanks,
        )
        for name in loads
        if name not in tanks
    )
    return (*_gauges_gone(site, kept), *to_none) if isinstance(kept, KeptByName) else to_none


def _gauges_gone(site: Site, kept: KeptByName) -> Iterator[Gone]:
    gauges = gauges_of(site)
    known = {one.name for one in gauges}
    lasts = {name: kept.last(name) for name in kept.gauges() if name not in known}
    # the rain gauge that everybody has may well never have been read
    asked = (one.name for one in gauges if one in site.log.gauges or one.name != RAIN)
    unread = tuple(name for name in asked if any(lasts.values()) and kept.last(name) is None)
    for name, last in lasts.items():
        if last is not None:
            yield Gone(
                name,
                f"Readings of '{name}' stand in the log, the last of "
                f"{day(last.at.date().isoformat())}, but the site file has no such gauge: they "
                f"are kept and count nowhere.",
                unread,
            )


@contextmanager
def with_gone(site: Site, kept: Kept) -> Iterator[None]:
    """A log that cannot answer says as well which names it does not find in the site file."""
    try:
        yield
    except BadLog as refused:
        raise BadLog(
            (*refused.faults, *(Fault(one.words) for one in gone(site, kept)))
        ) from refused


def rename(site: Site, store: Store, *, was: str, name: str, now: datetime) -> Renamed:
    """Read what stands under a name that the site file has no more as that of a gauge it has.

    Loads follow where a tank was renamed, and what was done to a meter. A note keeps what was done.
    Raises BadLog in sentences, and nothing is done.
    """
    known = tuple(one.name for one in gauges_of(site))
    tanks = tuple(tank.name for tank in site.tanks)
    if was in known or (was in tanks and name in tanks):
        raise BadLog(f"The site file still has '{was}': give it its other name there first.")
    if name not in (known if store.last(was) else (*known, *tanks)):
        raise BadLog(f"The site file has no gauge '{name}': {near(name, known)}")
    others = [
        (key, right)
        for kind in ("load", "done")
        for key, one in store.entries(kind)
        if (right := _right(one, was=was, name=name, tanks=tanks)) is not None
    ]
    why = f"'{was}' is called '{name}' now."
    readings = store.rename(was, name=name, why=why, others=others, now=now)
    if not (readings or others):
        raise BadLog(f"Nothing stands in the log under '{was}': {near(was, store.gauges())}")
    found = Renamed(was, name, readings, len(others))
    store.add([Note(now, found.says, about=name)], now=now)
    return found


def _right(one: Entry, *, was: str, name: str, tanks: tuple[str, ...]) -> Entry | None:
    """An entry that speaks of the old name, as it reads now; None for any other."""
    if isinstance(one, Load) and one.to == was and name in tanks and was not in tanks:
        return replace(one, to=name)
    if isinstance(one, Done) and one.thing == was:
        renamed_tank = name in tanks and was not in tanks
        return replace(one, thing=name) if renamed_tank or one.task == NEW_METER else None
    return None
