"""The overnight test as it is typed: the readings before and after, and what they say."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from eavewell.faults import BadLog
from eavewell.logbook.entries.typed import figure_of, gauge_meant
from eavewell.logbook.leaks.leak_words import isolate
from eavewell.logbook.leaks.shut_test import ShutTest, shut_test
from eavewell.logbook.readings.gauged import levels, noise_m
from eavewell.site.entry import Note
from eavewell.site.gauge import Gauge
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.units import read, show

ABOUT = "overnight test"


@dataclass(frozen=True, slots=True)
class ShutSaid:
    """A test and what it says, in sentences."""

    test: ShutTest
    says: tuple[str, ...]

    def note(self, at: datetime, *, who: str = "") -> Note:
        """What is kept of it in the log."""
        return Note(at, " ".join(self.says), about=f"{self.test.tank}, {ABOUT}", who=who)


def shut_said(
    site: Site,
    name: str,
    *,
    before: Sequence[str],
    after: Sequence[str],
    hours: str,
    alone: bool = False,
) -> ShutSaid:
    """Judge the levels of a tank that stood shut, as somebody typed them.

    before, after : one or more figures of the tank's stick each. hours : between them. alone :
    True where one tank of a row stood shut off from the others.
    Raises BadLog or BadQuantity in sentences.
    """
    gauge = gauge_meant(site, "level", name=name)
    tank = site.tank(gauge.of)
    found = shut_test(
        tank,
        _levels_m(gauge, before),
        after_m=_levels_m(gauge, after),
        hours=read(hours, "hours"),
        noise_m=noise_m(gauge),
        alone=alone,
    )
    return judged(found, site, alone=alone)


def judged(test: ShutTest, site: Site, *, alone: bool) -> ShutSaid:
    """A test with its sentences; alone : as in `shut_said`."""
    several = site.tank(test.tank).count > 1 and not alone
    return ShutSaid(test, tuple(_says(test, several=several, system=site.place.show)))


def _levels_m(gauge: Gauge, texts: Sequence[str]) -> list[float]:
    said = np.array([figure_of(gauge, text) for text in texts])
    found: list[float] = levels(gauge, said).level_m.tolist()
    if not np.isfinite(found).all():
        raise BadLog(f"Gauge '{gauge.name}' tells no level: its zero is not known.")
    return found


def _says(test: ShutTest, *, several: bool, system: Show) -> list[str]:
    fall = show(abs(test.fall_m) * 1000.0, "bore", system=system)
    way = "rose" if test.fall_m < 0.0 else "fell"
    limit, loss, low, high = (
        show(one, "daily", system=system)
        for one in (test.limit_l_day, test.l_day, max(test.low_l_day, 0.0), test.high_l_day)
    )
    first = f"Shut for {test.hours:.3g} hours it {way} by {fall}."
    if -test.l_day >= test.limit_l_day:
        return [first, "Water came in: rain, or a valve that does not shut. Test it again."]
    if not test.leaks:
        none = f"No leak seen: one of {limit} or more would have shown."
        return [first, none, "Over more hours, or read more often each time, a smaller one shows."]
    least = show(test.limit_l_day / test.l_day * test.fall_m * 1000.0, "bore", system=system)
    return [first, f"It leaks: {loss} ({low} to {high}).", *([isolate(least)] if several else [])]
