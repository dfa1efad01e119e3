"""Whether every use is served as it should be."""

from collections.abc import Iterator

from eavewell.design import Design
from eavewell.site.finding import Finding
from eavewell.site.use import Use
from eavewell.storage.reliability import UseReliability
from eavewell.storage.series import uses_in_order


def uses_served(design: Design) -> Iterator[Finding]:
    """Checks on the uses: short days on record, no fallback for animals, drinking not judged."""
    for use, found in zip(uses_in_order(design.site), design.drawn.reliability.uses, strict=True):
        yield from _dry_days(use, found)
        yield from _animals(use)
        yield from _drinking(use)


def _dry_days(use: Use, found: UseReliability) -> Iterator[Finding]:
    if found.short_days == 0 or found.longest is None:
        return
    made_up = " (the mains make it up)" if use.fallback == "mains" else ""
    spell = found.longest
    yield Finding(
        "use-short",
        "watch" if use.end_use == "outdoor" or use.fallback == "mains" else "fix",
        f"use {use.name!r}",
        f"{found.short_days} days on record were short of the planned ration{made_up}; at the "
        f"longest {spell.short_days} of them between {spell.first} and {spell.last}.",
        measured=float(spell.short_days),
        limit=0.0,
        unit="days",
        source="the daily balance over the record",
    )


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


def _drinking(use: Use) -> Iterator[Finding]:
    if use.end_use == "drinking":
        yield Finding(
            "drinking-not-judged",
            "stop",
            f"use {use.name!r}",
            "Not drinking water until roof, treatment and tests are entered and judged; the "
            "health department decides. Screening, not design approval.",
            source="common practice, no source",
            fix="have roof, treatment and water tests designed and approved before use",
        )
