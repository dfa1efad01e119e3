"""One reading as somebody types it: which gauge is meant, its figure, and what is doubted in it."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from types import MappingProxyType

from eavewell.faults import BadLog, BadQuantity
from eavewell.files.site.field_values import near
from eavewell.logbook.readings.figures import quantity_asked, scale_of
from eavewell.logbook.readings.gauges import BY_HAND, gauges_of
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge, Measures
from eavewell.site.site import Site
from eavewell.units import quantities, read

_BARE = re.compile(r"[-+]?(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)?(?:\.[0-9]+)?")

_CALLED: Mapping[Measures, str] = MappingProxyType(
    {
        "level": "level gauge",
        "meter": "meter",
        "make-up": "make-up meter",
        "rain": "rain gauge",
        "pressure": "pressure gauge",
        "lamp hours": "hour counter of a lamp",
        "filter loss": "gauge of a filter's loss",
        "temperature": "thermometer",
    }
)


def gauge_meant(site: Site, measures: Measures, *, name: str = "") -> Gauge:
    """The gauge of that name, or the one at what has that name; the only one where none is said.

    By hand one reads the stick of a tank, not its sensor.
    Raises BadLog where none or several could be meant.
    """
    likely = [one for one in gauges_of(site) if one.measures == measures]
    if not name:
        return _only(likely, measures)
    for same in (
        [one for one in likely if one.name == name],
        [one for one in likely if one.of == name and _by_hand(one)],
        [one for one in likely if one.of == name and one.feed is None],
        [one for one in likely if one.of == name],
    ):
        if len(same) == 1:
            return same[0]
        if same:
            return _only(same, measures)
    names = tuple(dict.fromkeys(text for one in likely for text in (one.name, one.of) if text))
    if not likely:
        raise BadLog(_none_at_all(measures))
    raise BadLog(f"There is no {_CALLED[measures]} called '{name}': {near(name, names)}")


def stick_of(site: Site) -> Gauge | None:
    """What a hand reads first: the stick of the largest tank; None where there is no tank."""
    full_l = {tank.name: tank.usable_l for tank in site.tanks if not tank.is_sump}
    levels = [one for one in gauges_of(site) if one.of in full_l and one.measures == "level"]
    sticks = [one for one in levels if _by_hand(one)] or [one for one in levels if not one.feed]
    return max(sticks, key=lambda one: full_l[one.of], default=None)


def _by_hand(gauge: Gauge) -> bool:
    return gauge.feed is None and gauge.how in BY_HAND


def _only(likely: list[Gauge], measures: Measures) -> Gauge:
    if len(likely) == 1:
        return likely[0]
    if not likely:
        raise BadLog(_none_at_all(measures))
    names = ", ".join(one.name for one in likely)
    raise BadLog(f"Say which {_CALLED[measures]} is meant: {names}.")


def _none_at_all(measures: Measures) -> str:
    return (
        f"The site file describes no {_CALLED[measures]}: add [[log.gauge]] with a name and "
        f'measures = "{measures}".'
    )


def is_bare(text: str) -> bool:
    """Whether a figure was typed without a unit."""
    return bool(text.strip()) and _BARE.fullmatch(text.strip()) is not None


def figure_of(gauge: Gauge, text: str) -> float:
    """A figure as it was typed, in the internal unit; a bare one is in the gauge's own.

    Raises BadQuantity in a sentence.
    """
    said, quantity = text.strip(), quantity_asked(gauge)
    if not is_bare(said):
        return read(said, quantity)
    scale = scale_of(gauge)
    if scale is None:
        raise BadQuantity(
            f"'{said}' has no unit, and gauge '{gauge.name}' none of its own: write "
            f"{quantities()[quantity].example}."
        )
    return float(said.replace(",", "")) * scale.factor + scale.offset


def reading_of(gauge: Gauge, text: str, *, at: datetime, who: str = "", note: str = "") -> Reading:
    """A reading as it was typed; the zone is that of the instant, where it has a name."""
    value = figure_of(gauge, text)
    zone = getattr(at.tzinfo, "key", "")
    return Reading(gauge.name, at, value, said=text.strip(), zone=zone, who=who, note=note)


def questioned(reading: Reading, doubts: Iterable[str]) -> Reading:
    """The reading with what is doubted in its note; it is written all the same."""
    said = " ".join(doubts)
    if not said:
        return reading
    note = f"{reading.note}; questioned: {said}" if reading.note else f"Questioned: {said}"
    return replace(reading, note=note)
