"""A stretch of a gauge's readings put right at once: read in another unit, or struck out."""

from dataclasses import dataclass, replace
from datetime import datetime

from eavewell.faults import BadLog
from eavewell.logbook.readings.figures import Scale, scale_of
from eavewell.logbook.store.store import Store
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge


@dataclass(frozen=True, slots=True)
class Stretch:
    """Readings of a gauge from one instant to before another."""

    gauge: Gauge
    since: datetime
    until: datetime

    def keys(self, store: Store) -> list[int]:
        """Their keys; BadLog where there is none."""
        if self.until <= self.since:
            raise BadLog("The stretch ends before it begins.")
        found: list[int] = store.readings(
            self.gauge.name, self.since, until=self.until
        ).keys.tolist()
        if not found:
            raise BadLog(f"Gauge '{self.gauge.name}' has no reading in that time.")
        return found


@dataclass(frozen=True, slots=True)
class Because:
    """Why they are put right, by whom and when."""

    why: str
    who: str
    now: datetime


def strike_stretch(store: Store, of: Stretch, *, because: Because) -> int:
    """Take the readings out, all of them or none; how many they were."""
    keys = of.keys(store)
    rights = [(key, None) for key in keys]
    store.correct_all(rights, why=because.why, who=because.who, now=because.now)
    return len(keys)


def in_another_unit(
    store: Store, of: Stretch, *, because: Because, unit: str, was: str = ""
) -> int:
    """Read the bare figures as in another unit, all of them or none; how many they were.

    was : the unit by which they were read; "" for the gauge's own.
    Raises BadLog or BadQuantity in sentences.
    """
    old, new = _scale(of.gauge, was), _scale(of.gauge, unit)
    rights = []
    for key in of.keys(store):
        stood = store.entry("reading", key)
        assert isinstance(stood, Reading)
        figure = (stood.value - old.offset) / old.factor
        value = figure * new.factor + new.offset
        rights.append((key, replace(stood, value=value, said=f"{figure:.10g} {unit}", note="")))
    store.correct_all(rights, why=because.why, who=because.who, now=because.now)
    return len(rights)


def _scale(gauge: Gauge, unit: str) -> Scale:
    found = scale_of(gauge, unit)
    if found is None:
        raise BadLog(f"Gauge '{gauge.name}' has no unit of its own: say --was, the unit they had.")
    return found
