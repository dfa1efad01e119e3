"""The stick of a tank with its marks, as it stands in the water."""

from collections.abc import Iterator
from typing import Any

from eavewell.answers.shown import Sizes, count, day
from eavewell.report.blocks import Block, heading, paragraph, ruled
from eavewell.units import show

Plain = dict[str, Any]
# Water in the tank from its floor, the level on the stick if known, what the mark says.
Mark = tuple[float, float | None, str]
NOW = "<- "
# what of the alerts tells of a drought
DROUGHT = {"dry soon", "order", "order early", "ration"}


def stick(tank: Plain, answer: Plain, *, sizes: Sizes) -> Iterator[Block]:
    """Of a tank of the look ahead, from the overflow down; nothing of one that was never read."""
    if not tank["full_l"] or not tank["was_read"]:
        return
    yield heading(f"The stick of {tank['name']}")
    if apart := shut_apart(tank, answer):
        yield paragraph(apart)
    yield ruled(
        ("on the stick", "in it", ""),
        [
            (on_stick(level, sizes), sizes.volume(total), says)
            for total, level, says in marks(tank, answer, sizes=sizes)
        ],
        names=(2,),
    )


def shut_apart(tank: Plain, answer: Plain) -> str:
    """Joined tanks in a drought: one leak is not to take the water of all; else nothing."""
    if tank["count"] == 1 or not any(one["what"] in DROUGHT for one in answer["alerts"]):
        return ""
    count = tank["count"]
    if tank["shut_apart"]:
        return (
            f"{count} tanks joined: shut them apart now and draw from one at a time, so that a "
            "leak cannot take all."
        )
    has = "have no valves" if tank["shut_apart"] is False else "may have no valves"
    return (
        f"{count} tanks joined that {has}: a leak in one takes the water of all, so look at each "
        "every day while the water is short."
    )


def marks(tank: Plain, answer: Plain, *, sizes: Sizes) -> list[Mark]:
    """Every mark of a tank of the look ahead, from the overflow down."""
    return sorted(_marks(tank, answer, sizes=sizes), key=lambda mark: -mark[0])


def _marks(tank: Plain, answer: Plain, *, sizes: Sizes) -> Iterator[Mark]:
    yield tank["full_l"], tank["full_m"], "full"
    yield tank["total_l"], tank["level_m"], f"{NOW}{day(answer['day'])}"
    for mark in tank["marks"]:
        says = "fire reserve" if mark["what"] == "fire reserve" else f"{mark['of']} stops"
        yield mark["total_l"], mark["level_m"], says
    if tank["dead_l"]:
        yield tank["dead_l"], tank["dead_m"], "dead storage"
    for stage in answer["stages"]:
        if stage["tanks"] == [tank["name"]] and stage["below_l"] is not None:
            says = f"{stage['use']} gets {sizes.share(stage['next_share'])}"
            yield tank["dead_l"] + stage["below_l"], stage["level_m"], says
    for order in answer["orders"]:
        if order["to"] == tank["name"]:
            for lead in (order["slow"], order["normal"]):
                says = f"order, the truck takes {count(lead['days'], 'day')}"
                yield lead["order_l"], lead["order_m"], says


def on_stick(level_m: float | None, sizes: Sizes) -> str:
    """A level as it is read on the stick; a dash where unknown."""
    if level_m is None:
        return "-"
    return show(level_m, "length", system=sizes.system, unit="in" if sizes.system == "us" else "cm")
