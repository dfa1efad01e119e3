"""The part of the report on the barriers between roof and mouth, in the order of flow."""

from typing import Any

from eavewell.answers.shown import Sizes, count, listed
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.report.cautions import cautioned

Plain = dict[str, Any]
_NAMED = ("roof screen", "filter", "carbon", "lamp", "chlorine", "contact tank", "neutraliser")


def barriers_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Each treated line: its order, logs by organism, and what a power cut lets through."""
    lines = answer["treatment"]["lines"]
    if not lines:
        return []
    found: list[Block] = [heading("Barriers in order")]
    for line in lines:
        found += _line(line, sizes)
    return [*found, GAP, cautioned(answer, "barriers")]


def _line(line: Plain, sizes: Sizes) -> list[Block]:
    uses = f", for {listed(line['uses'])}" if line["uses"] else ""
    found: list[Block] = [
        paragraph(f"{line['name'][:1].upper()}{line['name'][1:]}{uses}: {_order(line)}."),
        GAP,
    ]
    if line["lamps"] or line["contact"]["name"]:
        head = ("against", "logs earned", "asked", "by")
        found.append(ruled(head, [_row(one) for one in line["against"]], names=(0, 3)))
        found.append(GAP)
    return [*found, paragraph(*_power_cut(line, sizes), *_lives(line), _listings(line))]


def _order(line: Plain) -> str:
    """The way of the water; what several roofs have alike once."""
    words = (
        one["kind"]
        if one["kind"] not in _NAMED or one["name"] == one["kind"]
        else f"{one['kind']} ({one['name']})"
        for one in line["order"]
    )
    return " > ".join(dict.fromkeys(words))


def _row(one: Plain) -> tuple[str, ...]:
    name = one["organism"].capitalize() if one["organism"] != "virus" else "virus"
    asked = "ask" if one["target_logs"] is None else f"{one['target_logs']:g}"
    return name, f"{one['logs']:.1f}", asked, one["by"] or "nothing"


def _power_cut(line: Plain, sizes: Sizes) -> list[str]:
    if not line["lamps"]:
        return []
    if line["shut_valve"]:
        return ["In a power cut its valve shuts the line."]
    if line["unlit_l"] is None:
        return ["In a power cut water still runs unlit; how much is unknown."]
    least = "at least " if line["unlit_is_least"] else ""
    return [f"In a power cut {least}{sizes.volume(line['unlit_l'])} still run to the taps unlit."]


def _lives(line: Plain) -> list[str]:
    due = [
        f"{one['name']} every {count(one['every_days'], 'day')}"
        for one in line["cartridges"]
        if one["every_days"] is not None
    ]
    return [f"Cartridges at this use: {listed(due)}."] if due else []


def _listings(line: Plain) -> str:
    said = [
        f"{lamp['name']} {lamp['listing']}"
        for lamp in line["lamps"]
        if lamp["listing"] not in ("none", "unknown")
    ]
    return f"Listed as their makers state, which is no dose: {listed(said)}." if said else ""
