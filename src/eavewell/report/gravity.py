"""The part of the report on gravity lines: taps, drip laterals, troughs."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.hydraulics.drip import MOST_PLANTS
from eavewell.hydraulics.gravity import BUCKET_L
from eavewell.report.blocks import GAP, Block, heading, ruled
from eavewell.report.cautions import cautioned
from eavewell.units import show

Plain = dict[str, Any]


def gravity_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """What comes out by gravity with the tank full and low."""
    lines = answer["hydraulics"]["gravity"]
    outlets = [one for line in lines for one in line["outlets"]]
    laterals = [one for line in lines for one in line["laterals"]]
    troughs = [one for line in lines for one in line["troughs"]]
    if not outlets and not laterals and not troughs:
        return []
    tables = (_outlets(outlets, sizes), _laterals(laterals, sizes), _troughs(troughs, sizes))
    page: list[Block] = [heading("By gravity, tank full and low")]
    for at, table in enumerate(table for table in tables if table):
        page += [GAP] if at else []
        page += table
    return [*page, GAP, cautioned(answer, "gravity")] if troughs else page


def _outlets(outlets: list[Plain], sizes: Sizes) -> list[Block]:
    if not outlets:
        return []
    bucket = f"{sizes.volume(BUCKET_L)}\nlow"
    head = ("outlet", "head\nfull", "head\nlow", "flow\nfull", "flow\nlow", bucket)
    rows = [
        (
            one["name"],
            _show(one["static_full_m"], "length", sizes=sizes),
            _show(one["static_low_m"], "length", sizes=sizes),
            _show(one["flow_full_l_s"], "flow", sizes=sizes),
            _show(one["flow_low_l_s"], "flow", sizes=sizes),
            _show(one["bucket_min"], "minutes", sizes=sizes),
        )
        for one in outlets
    ]
    return [ruled(head, rows)]


def _laterals(laterals: list[Plain], sizes: Sizes) -> list[Block]:
    if not laterals:
        return []
    head = ("lateral", "plants", "first plant\nlow", "last plant\nlow", "even (EU)", "day's water")
    rows = [
        (
            one["name"],
            f"{one['plants']}",
            _show(one["low"]["plant_l_h"][0], "bleed", sizes=sizes),
            _show(one["low"]["plant_l_h"][-1], "bleed", sizes=sizes),
            _show(one["low"]["emission_uniformity"], "share", sizes=sizes),
            _show(one["hours"], "hours", sizes=sizes),
        )
        for one in laterals
    ]
    notes = [_lateral_note(one, sizes) for one in laterals]
    return [ruled(head, rows, notes=notes)]


def _lateral_note(one: Plain, sizes: Sizes) -> str:
    low = one["low"]
    if low["emission_uniformity"] is None:
        return "no water reaches it with the tank low"
    christiansen, quarter = (
        sizes.share(low[key]) for key in ("coefficient_of_uniformity", "low_quarter_uniformity")
    )
    carries = one["carries_plants"]
    most = "not one plant" if carries is None else f"{carries} plants"
    most += " and more" if carries == MOST_PLANTS else ""
    return (
        f"CU {christiansen}, low-quarter DU {quarter}; the least plant gets "
        f"{sizes.share(low['least_of_rated'])} of the rated flow; the line carries {most}"
    )


def _troughs(troughs: list[Plain], sizes: Sizes) -> list[Block]:
    if not troughs:
        return []
    head = ("trough", "refills\nlow", "asked", "a day", "stuck float empties tank in")
    rows = [
        (
            one["name"],
            _show(one["refill_low_l_s"], "flow", sizes=sizes),
            _show(one["needs_l_s"], "flow", sizes=sizes),
            sizes.volume(one["day_l"]),
            _show(one["empties_tank_h"], "hours", sizes=sizes),
        )
        for one in troughs
    ]
    return [ruled(head, rows)]


def _show(value: float | None, quantity: str, *, sizes: Sizes) -> str:
    return "-" if value is None else show(value, quantity, system=sizes.system)
