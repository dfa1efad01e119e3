"""What a log asks: a figure of each gauge, and the boxes of every other kind of entry."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from eavewell.logbook.entries.typed import is_bare
from eavewell.logbook.kept import Kind
from eavewell.logbook.readings.figures import quantity_asked, scale_of, usual_unit
from eavewell.site.gauge import Gauge
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import rows
from eavewell.units import quantities

Way = Literal["words", "choice", "instant", "yes"]
POWER = "power"
_FEET_INCHES = re.compile(r"([0-9]{1,2}) +([0-9]{1,2}(?:\.[0-9]+)?)")


@dataclass(frozen=True, slots=True)
class Box:
    """One box of an entry.

    name : of the field. way : "words" as anybody writes them, a "choice" among names, an
    "instant", or a "yes". choices : of which names (`choices_of`). hint : an example.
    """

    name: str
    label: str
    way: Way = "words"
    choices: str = ""
    needed: bool = False
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Asks:
    """A kind of entry: what it is called, and its boxes in the order in which they are filled."""

    title: str
    boxes: tuple[Box, ...]


NOW = "empty: now"
_WHO, _NOTE = Box("who", "Who"), Box("note", "Note")
ASKED: Mapping[Kind, Asks] = MappingProxyType(
    {
        "reading": Asks(
            "A reading",
            (
                Box("gauge", "Gauge", "choice", "gauges", needed=True),
                Box("said", "It says", needed=True),
                Box("at", "When", "instant", hint=NOW),
                _WHO,
                _NOTE,
            ),
        ),
        "load": Asks(
            "A load of water",
            (
                Box("to", "Tank", "choice", "tanks", needed=True),
                Box("volume", "Volume", needed=True, hint="volume"),
                Box("came", "Came", "instant", hint=NOW),
                Box("not_yet", "Ordered, not here yet", "yes"),
                Box("ordered", "Ordered", "instant"),
                Box("price", "Price"),
                Box("paper", "Paper of the water", hint="what certifies it"),
                Box("chlorine", "Chlorine on arrival", hint="0.5 mg/L"),
                _WHO,
                _NOTE,
            ),
        ),
        "done": Asks(
            "A task done or put off",
            (
                Box("task", "Task", choices="tasks", needed=True, hint="as the due list calls it"),
                Box("thing", "Of what", choices="things"),
                Box("at", "When", "instant", hint=NOW),
                Box("until", "Put off until", "instant", hint="empty: it was done"),
                Box("found", "What was found"),
                _WHO,
                _NOTE,
            ),
        ),
        "tested": Asks(
            "A water test",
            (
                Box("of", "Looked for", "choice", "tests", needed=True),
                Box("found", "Found", needed=True, hint="absent, 0.004 mg/L, <1"),
                Box("at", "Sample taken", "instant", hint=NOW),
                Box("tap", "Tap"),
                Box("laboratory", "Laboratory"),
                _WHO,
                _NOTE,
            ),
        ),
        "outage": Asks(
            "Something out",
            (
                Box("of", "What", choices="lights", needed=True, hint="power, a lamp, a pump"),
                Box("began", "Went out", "instant", hint=NOW),
                Box("ended", "Back", "instant", hint="empty: it is still out"),
                _WHO,
                _NOTE,
            ),
        ),
        "note": Asks(
            "A note",
            (
                Box("says", "What was noticed", needed=True),
                Box("about", "About", choices="things"),
                Box("at", "When", "instant", hint=NOW),
                _WHO,
            ),
        ),
    }
)


def choices_of(site: Site) -> dict[str, tuple[str, ...]]:
    """Names that a box may offer, in the site's order; tasks are those of the due list."""
    tanks = tuple(one.name for one in site.tanks if not one.is_sump)
    devices = tuple(one.name for line in site.lines for one in line.in_line if one.name)
    lines = tuple(one.name for one in site.lines)
    lifts = tuple(one.name for one in site.lifts)
    everything = (*tanks, *lines, *devices, *lifts, *(one.name for one in site.roofs))
    return {
        "tanks": tanks,
        "tests": tuple(dict.fromkeys(row["of"] for row in rows("water_tests"))),
        "lights": tuple(dict.fromkeys((POWER, *devices, *lifts))),
        "things": tuple(dict.fromkeys(everything)),
        "tasks": (),
    }


def bare_unit(gauge: Gauge, show: Show) -> str:
    """The unit in which a bare figure of a gauge is taken: its own, else the usual of its kind."""
    scale = scale_of(gauge)
    if scale is not None:
        return scale.unit
    return usual_unit(gauge, show)


def with_unit(gauge: Gauge, text: str, *, show: Show) -> str:
    """A figure as it was typed, with the usual unit where neither it nor the gauge has one.

    A level of two figures, such as "3 5", is in feet and inches where the site shows them.
    """
    said = text.strip()
    if scale_of(gauge) is not None:
        return said
    if gauge.measures == "level" and show == "us" and (found := _FEET_INCHES.fullmatch(said)):
        return f"{found[1]} ft {found[2]} in"
    return f"{said} {bare_unit(gauge, show)}" if is_bare(said) else said


def example_of(gauge: Gauge, show: Show) -> str:
    """How a figure with its unit may be written."""
    asked = quantities()[quantity_asked(gauge)]
    return asked.example_us if show == "us" else asked.example_metric
