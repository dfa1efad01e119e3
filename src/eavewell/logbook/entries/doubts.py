"""What is doubted in one reading: it is written, and somebody is asked; nothing is refused."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from types import MappingProxyType

import numpy as np

from eavewell.faults import BadLog
from eavewell.logbook.kept import Kept, ManyReadings
from eavewell.logbook.readings.figures import in_own_unit
from eavewell.logbook.readings.gauged import levels
from eavewell.logbook.readings.plausible import questions_on
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.units import show

_SOON = timedelta(minutes=10)


@dataclass(frozen=True, slots=True)
class One:
    """A reading of a gauge, and the newest before it."""

    site: Site
    gauge: Gauge
    reading: Reading
    before: Reading | None
    kept: Kept | None = None

    @property
    def said(self) -> str:
        """The figure as it was said."""
        return self.reading.said or in_own_unit(self.gauge, self.reading.value)

    @property
    def seconds(self) -> float:
        """Time since the reading before; nothing where there is none."""
        return 0.0 if self.before is None else (self.reading.at - self.before.at).total_seconds()

    @property
    def rise(self) -> float:
        """How much the figure is above the one before."""
        return 0.0 if self.before is None else self.reading.value - self.before.value

    def show(self, value: float, quantity: str) -> str:
        """A size as the site shows it."""
        return show(value, quantity, system=self.site.place.show)


def doubts_of(
    site: Site,
    reading: Reading,
    *,
    gauge: Gauge,
    before: Reading | None,
    now: datetime,
    kept: Kept | None = None,
) -> tuple[str, ...]:
    """Sentences on what can hardly be true of a reading.

    before : the newest reading of the gauge before this one; None where there is none. kept : the
    log, for loads and rain between the two.
    """
    one = One(site, gauge, reading, before, kept)
    return (
        *_of_time(one, now),
        *_of_range(one),
        *_OF[gauge.measures](one),
    )


def doubts_alone(site: Site, reading: Reading, *, gauge: Gauge, now: datetime) -> tuple[str, ...]:
    """The same, as far as a reading tells by itself: its time, and the limits of its gauge."""
    one = One(site, gauge, reading, None)
    return (*_of_time(one, now), *_of_range(one))


def _of_time(one: One, now: datetime) -> Iterator[str]:
    at, ago = one.reading.at, now - one.reading.at
    if ago < -_SOON:
        yield f"{at:%Y-%m-%d %H:%M} lies ahead."
    elif ago.days > _figure("old_reading"):
        yield f"{at:%Y-%m-%d} is {ago.days / 365.25:.0f} years ago."


def _of_range(one: One) -> Iterator[str]:
    gauge, value = one.gauge, one.reading.value
    if gauge.least is not None and value < gauge.least:
        least = in_own_unit(gauge, gauge.least)
        yield f"{one.said} is below the least that the gauge can say, {least}."
    if gauge.most is not None and value > gauge.most:
        most = in_own_unit(gauge, gauge.most)
        yield f"{one.said} is above the most that the gauge can say, {most}."


def _of_level(one: One) -> Iterator[str]:
    tank = next((tank for tank in one.site.tanks if tank.name == one.gauge.of), None)
    try:
        level_m = float(levels(one.gauge, np.array([one.reading.value])).level_m[0])
    except BadLog:
        return
    if tank is None:
        return
    if level_m < 0.0:
        yield f"{one.said} is below the floor of {tank.name}."
    elif tank.shape is not None and level_m > tank.shape.height_m:
        rim = one.show(tank.shape.height_m, "level")
        yield f"{one.said} is above the rim of {tank.name}, {rim}."
    elif one.kept is not None:
        yield from _of_change(one, one.kept)


def _of_change(one: One, kept: Kept) -> Iterator[str]:
    """A rise that nothing brought, a fall that nothing took: said as a file's readings are."""
    at = np.array([one.reading.at.astimezone(UTC).replace(tzinfo=None)], dtype="datetime64[ms]")
    alone = ManyReadings(one.gauge.name, at, np.array([one.reading.value]))
    for question in questions_on(one.site, alone, kept=kept):
        if question.at_utc is not None:
            yield f"{one.said} {question.says.partition(' UTC ')[2] or question.says}"


def _of_meter(one: One) -> Iterator[str]:
    if one.rise < 0.0 and one.before is not None:
        was = one.before.said or in_own_unit(one.gauge, one.before.value)
        yield f"{one.said} is less than before, {was}: a new meter, or past its last figure?"
    elif one.seconds > 0.0 and one.rise > _figure("meter_most") * one.seconds:
        used = one.show(one.rise, "volume")
        yield f"{used} in {span_words(one.seconds)} is more than a house's meter passes."


def _of_lamp(one: One) -> Iterator[str]:
    passed_h = one.seconds / 3600.0
    if one.rise < 0.0:
        yield f"{one.said} is less than before: a new lamp?"
    elif one.seconds > 0.0 and one.rise > passed_h + 1.0:
        yield f"{one.rise:,.0f} h of light in {span_words(one.seconds)} is more than passed."


def _of_rain(one: One) -> Iterator[str]:
    if one.reading.value > _figure("rain_asked"):
        yield f"{one.said} of rain at once is a flood: is the unit right?"


def _of_pressure(one: One) -> Iterator[str]:
    most_m = _figure("pressure_asked")
    if one.reading.value > most_m:
        yield f"{one.said} is more than {one.show(most_m, 'pressure')}: is the unit right?"


def _of_air(one: One) -> Iterator[str]:
    if not _figure("air_coldest") <= one.reading.value <= _figure("air_warmest"):
        yield f"{one.said} is no air above water: is the unit right?"


_OF: Mapping[str, Callable[[One], Iterator[str]]] = MappingProxyType(
    {
        "level": _of_level,
        "meter": _of_meter,
        "make-up": _of_meter,
        "lamp hours": _of_lamp,
        "rain": _of_rain,
        "pressure": _of_pressure,
        "filter loss": _of_pressure,
        "temperature": _of_air,
    }
)


def _figure(name: str) -> float:
    return table("log_figures")[name].value


def span_words(seconds: float) -> str:
    """A length of time in words, such as 26 h or 3 days."""
    hours = seconds / 3600.0
    if hours >= 48.0:
        return f"{hours / 24.0:.0f} days"
    return f"{hours:.0f} h" if hours >= 1.0 else f"{max(1.0, seconds / 60.0):.0f} min"
