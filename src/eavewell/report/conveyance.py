"""The part of the report on collection pipes and first flush."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.hydraulics.standard_sizes import called
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.report.cautions import cautioned
from eavewell.units import show

Plain = dict[str, Any]


def conveyance_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """What each pipe must carry and carries, and each first flush."""
    pipes, flushes = answer["hydraulics"]["conveyance"], answer["hydraulics"]["first_flush"]
    dry = [_dry_row(pipe, sizes) for pipe in pipes["dry"]]
    wet = [_wet_row(main, pipe, sizes=sizes) for main in pipes["mains"] for pipe in main["pipes"]]
    page: list[Block] = []
    if dry or wet:
        head = ("pipe", "size", "asked", "carries", "speed", "fails from")
        page += [heading("Pipes to the store"), ruled(head, dry + wet)]
        page += [paragraph(_storm(pipes, sizes), *(_main(main, sizes) for main in pipes["mains"]))]
    if flushes:
        page += [GAP if page else heading("First flush"), _flush_table(flushes, sizes)]
    return [*page, cautioned(answer, "pipes")] if page else page


def _dry_row(pipe: Plain, sizes: Sizes) -> tuple[str, ...]:
    return (
        pipe["name"],
        called(pipe["bore_mm"]),
        _shown(pipe["flow_l_s"], "flow", sizes=sizes),
        _shown(pipe["capacity_l_s"], "flow", sizes=sizes),
        _shown(pipe["speed_m_s"], "speed", sizes=sizes),
        _shown(pipe["fails_from_mm_h"], "intensity", sizes=sizes),
    )


def _wet_row(main: Plain, pipe: Plain, *, sizes: Sizes) -> tuple[str, ...]:
    fails = main["spills_from_mm_h"] if pipe["name"] == main["first"] else None
    return (
        f"{pipe['name']}, held full",
        called(pipe["bore_mm"]),
        _shown(pipe["flow_l_s"], "flow", sizes=sizes),
        "-",
        _shown(pipe["speed_m_s"], "speed", sizes=sizes),
        _shown(fails, "intensity", sizes=sizes),
    )


def _storm(pipes: Plain, sizes: Sizes) -> str:
    rain = _shown(pipes["intensity_mm_h"], "intensity", sizes=sizes)
    return (
        f"Asked: {pipes['storm_minutes']:g}-minute rain of {pipes['storm_years']:g} years, "
        f"{'unknown' if pipes['intensity_mm_h'] is None else rain}."
    )


def _main(main: Plain, sizes: Sizes) -> str:
    """Head to spare, and the water that stands."""
    stands = f"{sizes.volume(main['stale_l'])} stand in {main['name']}"
    if main["spare_m"] is None:
        return f"{stands}."
    spare = show(abs(main["spare_m"]), "length", system=sizes.system)
    has = f"it has {spare} of head to spare"
    if main["spare_m"] < 0.0:
        has = f"it lacks {spare} of head"
    return f"{stands}; {has}; {main['first']} spills first."


def _flush_table(flushes: list[Plain], sizes: Sizes) -> Block:
    rows = [
        (
            flush["roof"],
            sizes.volume(flush["volume_l"]),
            _shown(flush["length_m"], "length", sizes=sizes),
            _shown(flush["empties_h"], "hours", sizes=sizes),
            sizes.volume(flush["lost_l_per_year"]),
        )
        for flush in flushes
    ]
    return ruled(("first flush of", "takes", "standpipe", "empties in", "lost a year"), rows)


def _shown(value: float | None, quantity: str, *, sizes: Sizes) -> str:
    return "-" if value is None else show(value, quantity, system=sizes.system)
