"""Whether roof, tank and use fit one another, and whether the use is more than a guess."""

from collections.abc import Iterator

from eavewell.design import Design
from eavewell.findings.rounding import no_more
from eavewell.site.finding import COMMON, Finding
from eavewell.site.want import People
from eavewell.tables import rows, sources, table
from eavewell.units import show

FULL_SHARE = 0.99


def roof_and_tank_fit(design: Design) -> Iterator[Finding]:
    """A tank that its roof hardly ever fills; a roof whose water mostly spills past its tank."""
    yield from _seldom_full(design)
    yield from _mostly_spilled(design)


def _seldom_full(design: Design) -> Iterator[Finding]:
    names = [tank.name for tank in design.site.tanks]
    tank = design.site.tank(design.sizing.store)
    if tank.usable_l <= 0.0:
        return
    every, k = design.drawn.every_day, names.index(tank.name)
    # a tank that spilled was full, whatever was drawn after
    was_full = (every.spilled_l[:, k] > 0.0) | (every.level_l[:, k] >= FULL_SHARE * tank.usable_l)
    share = float(was_full.mean())
    limit = table("store_limits")["seldom_full"].value
    if share >= limit:
        return
    system, smallest = design.site.place.show, design.sizing.smallest_l
    less = smallest is not None and smallest < tank.usable_l
    yield Finding(
        "tank-seldom-full",
        "watch",
        f"tank {tank.name!r}",
        f"It stood full on {share:.1%} of the days: it is larger than this roof and use can fill.",
        measured=share,
        limit=limit,
        unit="share",
        source=COMMON,
        fix=f"{show(smallest, 'volume', system=system)} usable reach the goals too"
        if less and smallest is not None
        else "more roof before more tank",
    )


def _mostly_spilled(design: Design) -> Iterator[Finding]:
    found, limit = design.drawn.reliability, table("store_limits")["spills_half"].value
    if design.sizing.meets_goal or found.spilled_share <= limit:
        return
    smallest, system = design.sizing.smallest_l, design.site.place.show
    yield Finding(
        "roof-mostly-spilled",
        "watch",
        f"tank {design.sizing.store!r}",
        "Most of the roof's water spills while a goal is missed: the tank is small for its roof.",
        measured=found.spilled_share,
        limit=limit,
        unit="share",
        source=COMMON,
        fix="a larger tank: the table of sizes shows what each next one gains"
        if smallest is None
        else f"{show(smallest, 'volume', system=system)} usable",
    )


def wants_believed(design: Design) -> Iterator[Finding]:
    """Question people who are said to use less than any survey found: measured, or guessed."""
    least_l, survey = min(_surveyed())
    system = design.site.place.show
    for use in design.site.uses:
        each = [want.each_l_day for want in use.wants if isinstance(want, People)]
        if use.end_use not in ("drinking", "indoor") or not each or max(each) >= least_l:
            continue
        yield Finding(
            "use-below-surveys",
            "note",
            f"use {use.name!r}",
            f"{no_more(max(each), 'daily', system=system)} a person is less than the most sparing "
            "houses of the surveys: right where it was measured, doubtful where it was guessed.",
            measured=max(each),
            limit=least_l,
            unit="L/day",
            source=survey,
            fix="compare with bills or a meter; three months of readings replace the guess",
        )


def _surveyed() -> Iterator[tuple[float, str]]:
    """Whole indoor use of one person a day, by survey."""
    for survey in dict.fromkeys(row["survey"] for row in rows("household_surveys")):
        parts = [row for row in rows("household_surveys") if row["survey"] == survey]
        yield sum(float(row["value"]) for row in parts), sources()[survey]["title"]
