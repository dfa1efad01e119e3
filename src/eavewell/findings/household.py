"""Whether every use is served as it should be."""

from collections.abc import Iterator

from eavewell.design import Design
from eavewell.site.finding import Finding
from eavewell.site.use import Use
from eavewell.storage.first_fill import FirstFill
from eavewell.storage.reliability import UseReliability
from eavewell.storage.series import uses_in_order
from eavewell.weather.counted import counted

_ORDER_SOONER = "loads ordered sooner (more safety days) or larger ones"


def uses_served(design: Design) -> Iterator[Finding]:
    """Checks on the uses: short days on record, no fallback for animals."""
    for use, found in zip(uses_in_order(design.site), design.drawn.reliability.uses, strict=True):
        yield from _dry_days(use, found, allowed=_allowed_days(design, use))
        yield from _first_year(use, design.first_fill)
        yield from _animals(use)


def _allowed_days(design: Design, use: Use) -> float:
    """The longest run of short days that the use's goal allows, 0 where it names none."""
    return max(
        (
            goal.target
            for goal in design.site.goals
            if goal.use == use.name and goal.measure == "dry_days_in_worst_spell"
        ),
        default=0.0,
    )


def _dry_days(use: Use, found: UseReliability, *, allowed: float) -> Iterator[Finding]:
    spell = found.longest
    if spell is None or spell.short_days <= allowed:
        return
    made_up = " (the mains make it up)" if use.fallback == "mains" else ""
    were = "was" if found.short_days == 1 else "were"
    run = counted(spell.short_days, "such day")
    dates = (
        f"from {spell.first} to {spell.last}" if spell.last > spell.first else f"on {spell.first}"
    )
    yield Finding(
        "use-short",
        "watch" if use.end_use == "outdoor" or use.fallback == "mains" else "fix",
        f"use {use.name!r}",
        f"{found.short_days:,} of {found.wanted_days:,} days on which it was wanted {were} short "
        f"of the planned ration{made_up}; the longest run was {run}, {dates}.",
        measured=float(spell.short_days),
        limit=allowed,
        unit="days",
        source="the daily balance over the record",
        fix=_ORDER_SOONER if use.fallback == "hauled" else "",
    )


def _first_year(use: Use, fill: FirstFill | None) -> Iterator[Finding]:
    if fill is None or use.end_use == "outdoor" or use.fallback == "mains":
        return
    middle, worst = fill.short_days[use.name]
    if middle == 0:
        return
    yield Finding(
        "first-year-short",
        "fix" if use.end_use == "drinking" else "watch",
        f"use {use.name!r}",
        f"In its first year a new system is short on {counted(middle, 'day')} in the middle year "
        f"and on {worst} in the worst tenth: the stores start as stated, else empty.",
        measured=float(middle),
        limit=0.0,
        unit="days",
        source="every year of the record taken as the first",
        fix=f"{_first_water(use)}, or begin in a wetter month",
    )


def _first_water(use: Use) -> str:
    if use.end_use in ("drinking", "indoor"):
        return "buy a first load for the leak test and for moving in"
    return "fill it once from elsewhere"


def _animals(use: Use) -> Iterator[Finding]:
    if use.end_use == "animals" and use.fallback == "none":
        yield Finding(
            "animals-no-fallback",
            "stop",
            f"use {use.name!r}",
            "Animals must not run short: no fallback is named.",
            source="trade judgement, no source",
            fix='name one: fallback = "mains" or "hauled"',
        )
