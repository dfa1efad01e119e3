"""Closing and opening a place that stands empty part of the year, step by step with amounts."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from eavewell.hydraulics.conveyance import DrainDown
from eavewell.site.line import Line
from eavewell.site.site import Site
from eavewell.site.want import Household, People
from eavewell.tables import rows, table
from eavewell.treatment.order import CARTRIDGES
from eavewell.treatment.shock import line_holds_l

When = Literal["closing", "opening"]


@dataclass(frozen=True, slots=True)
class SeasonStep:
    """One step.

    thing : what it is done to, by name. volume_l : water let out or run off; None for none.
    """

    when: When
    thing: str
    says: str
    volume_l: float | None = None


def season_steps(site: Site, drain_down: tuple[DrainDown, ...]) -> tuple[SeasonStep, ...]:
    """Every step of closing and opening; none where somebody is there all the year.

    drain_down : what stands full outside, of the collection pipes.
    """
    if not stands_empty(site):
        return ()
    return tuple(
        SeasonStep(when, thing, row["says"], volume_l)
        for when in ("closing", "opening")
        for row in rows("season_steps")
        if row["when"] == when
        for thing, volume_l in _things(site, row, drain_down=drain_down)
    )


def stands_empty(site: Site) -> bool:
    """Whether nobody drinks or lives there for some season of the year."""
    people = [
        want for use in site.uses for want in use.wants if isinstance(want, People | Household)
    ]
    seasonal = [bool(want.calendar.seasons or want.calendar.months) for want in people]
    return bool(people) and all(seasonal)


def _things(
    site: Site, row: Mapping[str, str], *, drain_down: tuple[DrainDown, ...]
) -> Iterator[tuple[str, float | None]]:
    """What the step is done to, with its water."""
    needs = row["needs"]
    flushes = table("shock")["flush volumes"].value if row["when"] == "opening" else 1.0
    if needs == "always":
        yield row["thing"], None
    elif needs == "point":
        yield from ((point.thing, point.volume_l) for point in drain_down)
    elif needs == "line":
        yield from ((f"line {line.name!r}", flushes * line_holds_l(line)) for line in site.lines)
    else:
        yield from ((thing, None) for thing in _fitted(site.lines, needs))


def _fitted(lines: Iterable[Line], needs: str) -> Iterator[str]:
    for line in lines:
        has = {
            "heater": bool(line.heater),
            "pump": line.pump is not None,
            "pressure tank": line.pressure_tank is not None,
            "traps": bool(line.outlets) and line.pump is not None,
        }
        if has.get(needs):
            yield f"{needs} of line {line.name!r}"
        kinds = CARTRIDGES if needs == "filter" else (needs,)
        yield from (f"{one.kind} {one.name!r}" for one in line.in_line if one.kind in kinds)
