"""Names that files and machines have for gauges, and units in headings."""

import re
from collections.abc import Mapping, Sequence

from eavewell.site.gauge import Gauge
from eavewell.units import units

# words that say nothing of which gauge it is
IDLE = frozenset(
    [
        *("sensor", "number", "input", "gauge", "reading", "readings", "level", "distance"),
        *("depth", "meter", "total", "value", "state", "water", "tank", "rain", "rainfall"),
        *("register", "stick", "probe", "figure", "of", "the", "temperature", "volume"),
    ]
)
_UNIT = re.compile(r"[(\[]\s*([^)\]]+?)\s*[)\]]|(?:^|[_ ,])in\s+([A-Za-z0-9 /]+)$")


def gauge_named(
    said: str, gauges: Sequence[Gauge], *, named: str | Mapping[str, str] = ""
) -> Gauge | None:
    """The gauge that a name in a file means; None where it means none or might mean two.

    A gauge is meant by its own name, with or without idle words such as "sensor" or "level" and
    a unit; `named` says it outright.
    """
    if isinstance(named, Mapping):
        by_name = {name.lower(): gauge for name, gauge in named.items()}
        if said.lower() in by_name:
            return next((one for one in gauges if one.name == by_name[said.lower()]), None)
    elif named:
        return next((one for one in gauges if one.name.lower() == named.lower()), None)
    told = _words(said)
    exact = [one for one in gauges if _words(one.name) == told]
    if exact:
        return exact[0]
    loose = [one for one in gauges if _telling(_words(one.name)) == _telling(told)]
    near = [one for one in loose if _telling(told) or _words(one.name) == told]
    return near[0] if len(near) == 1 else None


def unit_in(heading: str) -> str:
    """The unit that a heading tells: 'Reading (CCF)', 'main_mm'; "" where it tells none."""
    found = _UNIT.search(heading)
    if found:
        return (found[1] or found[2]).strip()
    words = re.split(r"[_ ,]+", heading.strip())
    known = _known_units()
    return words[-1] if len(words) > 1 and words[-1].lower() in known else ""


def _words(said: str) -> tuple[str, ...]:
    bare = _UNIT.sub(" ", said).lower()
    bare = bare.rpartition(".")[2] if re.match(r"[a-z_]+\.[a-z0-9_]+$", bare) else bare
    words = tuple(word for word in re.split(r"[^a-z0-9]+", bare) if word)
    return words[:-1] if len(words) > 1 and words[-1] in _known_units() else words


def _telling(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(word for word in words if word not in IDLE)


def _known_units() -> frozenset[str]:
    return frozenset(
        name.lower()
        for one in units()
        if one.dimension in ("length", "volume", "pressure", "temperature", "duration")
        for name in (one.name, *one.aliases)
    )
