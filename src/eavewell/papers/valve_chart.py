"""The valve chart: each numbered valve, pump and drain, and how it stands in every case."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from eavewell.drawings.tags import Tag
from eavewell.papers.paper import NewPage, Paper, PaperBlock, Part
from eavewell.papers.tank_card import wall_paper
from eavewell.papers.wall_blocks import Points, WallRows
from eavewell.report.blocks import Words
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("valve_chart")
Plain = dict[str, Any]


def valve_chart_paper(answer: Plain, *, day: date, system: Show, tags: tuple[Tag, ...]) -> Paper:
    """Cases across, numbers down; what differs from an ordinary day is in capitals.

    tags : every number of the site, as the schematic and the printed tags bear them.
    """
    modes = [row for row in rows("modes") if _there(row["needs"], answer, tags=tags)]
    blocks = [*_chart(tags, [row["mode"] for row in modes])]
    said = tuple(f"{row['mode'].capitalize()}: {row['says']}" for row in modes)
    blocks += [
        Points(said, size_pt=11.0),
        *_held(tags),
        NewPage(),
        Part(WORDS.say("page.every_number")),
    ]
    blocks.append(
        WallRows(
            WORDS.several("page.head"),
            tuple((f"{tag.number}", tag.words, tag.of) for tag in tags),
            tones=("",) * len(tags),
            names=(1, 2),
            size_pt=min(12.0, max(7.5, 385.0 / (len(tags) + 1))),
        )
    )
    named = ("valve-chart", WORDS.say("page.valve_chart"))
    return wall_paper(answer, blocks, named=named, day=day, system=system)


def _there(needs: str, answer: Plain, *, tags: tuple[Tag, ...]) -> bool:
    """Whether a case can come to this site."""
    if needs == "fire":
        return any(tank["fire_reserve_l"] for tank in answer["cards"]["tanks"])
    if needs == "season":
        return bool(answer["treatment"]["upkeep"]["season"])
    if needs == "drain":
        return any(tag.kind in ("pipe drain", "tank drain", "line valve") for tag in tags)
    return not needs or any(tag.kind == needs for tag in tags)


def _chart(tags: tuple[Tag, ...], modes: list[str]) -> Iterator[PaperBlock]:
    stands = {row["kind"]: row for row in rows("valve_modes")}
    worked = [tag for tag in tags if tag.kind in stands]
    if not worked:
        yield Words(WORDS.say("chart.no_valve_drain_or"))
        return
    yield WallRows(
        head=("no.", WORDS.say("chart.valve_drain_or_pump"), *modes),
        rows=tuple(_row(tag, stands[tag.kind], modes=modes) for tag in worked),
        tones=tuple("blue" if at % 2 else "" for at in range(len(worked))),
        names=tuple(range(1, len(modes) + 2)),
        size_pt=min(12.0, max(8.0, 74.0 / (len(modes) + 1), 310.0 / (len(worked) + 8))),
    )


def _row(tag: Tag, stands: Any, *, modes: list[str]) -> tuple[str, ...]:
    usual = stands["normal"]
    cells = [stands[mode] or usual for mode in modes]
    said = tuple(cell.upper() if cell != usual else cell for cell in cells)
    return (f"{tag.number}", tag.words, *said)


def _held(tags: tuple[Tag, ...]) -> Iterator[PaperBlock]:
    """Valves that hold a reserve or a ration stage."""
    held = tuple(
        WORDS.say("held.holds", number=tag.number, words=words)
        for tag in tags
        for words in tag.holds
    )
    if held:
        yield Points(held, size_pt=11.0)
