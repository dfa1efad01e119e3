"""What a cut of one use gains through the years of the record."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from eavewell.logbook.ahead.basis import Basis
from eavewell.logbook.ahead.fan import When, first_days, when
from eavewell.logbook.ahead.lanes import Group, Known, evenings
from eavewell.logbook.ahead.no_rain import HALF
from eavewell.logbook.ahead.supply import Supply, dry_by_day
from eavewell.logbook.ahead.years import Rows
from eavewell.site.rain_record import FloatArray
from eavewell.storage.series import uses_in_order


@dataclass(frozen=True, slots=True)
class CutYears:
    """When a supply runs dry through the years where one use is stopped or halved.

    stopped : None for the first use, for which the water is kept.
    """

    use: str
    stopped: When | None
    halved: When


@dataclass(frozen=True, slots=True, eq=False)
class FromToday:
    """What is run: rows (day, year) from today on, and how the uses stand without a cut.

    every : the supplies of which some level is known.
    """

    day: date
    rows: Rows
    group: Group
    known: Sequence[Known]
    every: Sequence[Supply]


def cut_years(basis: Basis, of: FromToday) -> tuple[tuple[CutYears, ...], ...]:
    """Every cut of the uses of every supply, in its order; one batch for them all."""
    names = [use.name for use in uses_in_order(basis.site)]
    asked = [(name, share) for name in names for share in (0.0, HALF)]
    groups = [_cut(of.group, names.index(name), share=share) for name, share in asked]
    run = evenings(basis, of.rows, groups=groups, known=of.known) if groups else []
    held = {key: one.held_l for key, one in zip(asked, run, strict=True)}
    return tuple(
        tuple(
            CutYears(
                draw.name,
                None if one.first == (draw.name,) else _dry(held[draw.name, 0.0], of, one=one),
                _dry(held[draw.name, HALF], of, one=one),
            )
            for draw in one.draws
        )
        for one in of.every
    )


def _cut(group: Group, at: int, *, share: float) -> Group:
    scale = group.scale.copy()
    scale[at] *= share
    return replace(group, scale=scale)


def _dry(held_l: FloatArray, of: FromToday, *, one: Supply) -> When:
    return when(first_days(dry_by_day(held_l, (one,))), of.day)
