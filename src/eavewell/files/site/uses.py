"""Uses and their goals from their parts of the site file."""

from collections.abc import Iterator, Mapping

from eavewell.files.site.parts import Part
from eavewell.files.site.tanks import reserve_of
from eavewell.files.site.wants import wants_of
from eavewell.site.goal import Goal, Measure
from eavewell.site.reserve import MOST_STAGES, RationStage, Reserve
from eavewell.site.tank import Tank
from eavewell.site.use import Use
from eavewell.tables import rows

MEASURES: tuple[Measure, ...] = (
    "dry_days_in_worst_spell",
    "loads_in_worst_year",
    "days_met",
    "supplied_share",
)


def use_of(part: Part, tanks: Mapping[str, Tank]) -> Use:
    """A use; faults where it wants nothing."""
    wants = wants_of(part)
    if not wants and not {"people", "each", "fixtures"} & part.given:
        part.fault(
            "it wants nothing: give people with each or fixtures, guests, animals, plants, "
            "washing or a cooler."
        )
    if len(part["ration"]) > MOST_STAGES:
        part.fault(f"it has {len(part['ration'])} ration stages: {MOST_STAGES} at most.", "ration")
    drawn = tuple(tanks[name] for name in part["draws_from"] or () if name in tanks)
    return Use(
        name=part["name"] or "",
        end_use=part["class"] or "outdoor",
        wants=wants,
        draws_from=part["draws_from"] or (),
        priority=part["priority"] or 1,
        reserve=reserve_of(part["reserve"], drawn),
        stages=tuple(_stage(one) for one in part["ration"]),
        fallback=part["fallback"] or "none",
        leak_share=part["leak"] or 0.0,
        spray=part["spray"],
        edible=part["edible"],
        dairy=part["dairy"],
    )


def goals_of(parts: Mapping[str, Part], uses: tuple[Use, ...]) -> tuple[Goal, ...]:
    """The goals stated, and for a use without one the starting value of common practice."""
    return tuple(goal for use in uses for goal in _goals(parts.get(use.name), use))


def _goals(part: Part | None, use: Use) -> Iterator[Goal]:
    stated = [measure for measure in MEASURES if part is not None and measure in part.given]
    if part is not None and not stated:
        part.fault(f"a goal is one or more of: {', '.join(MEASURES)}.")
    for measure in stated:
        if part is not None and part[measure] is not None:
            yield Goal(use.name, measure, float(part[measure]))
    if not stated:
        kind = "mains backup" if use.fallback == "mains" else use.end_use
        usual = {row["class"]: row for row in rows("goals")}[kind]
        measure = next(one for one in MEASURES if one == usual["measure"])
        yield Goal(use.name, measure, float(usual["target"]), stated=False)


def _stage(part: Part) -> RationStage:
    below = part["below"] or Reserve(volume_l=0.0)
    held = Reserve(below.volume_l, below.share, part["held_by"] or "unknown")
    return RationStage(held, 0.0 if part["share"] is None else part["share"])
