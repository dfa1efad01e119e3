"""The gauge tape: what each thumb's width of the sight tube holds, at true length in pieces."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.drawings.tape import Tick, sheet_size_mm, tape_sheets
from eavewell.papers.paper import Lead, NewPage, Paper, PaperBlock, Part
from eavewell.papers.tank_card import bands_of, on_stick, wall_paper
from eavewell.papers.wall_blocks import Points, TrueSize
from eavewell.site.place import Show
from eavewell.tables.texts import words

WORDS = words("gauge_tape")
Plain = dict[str, Any]
THUMB = {"us": "1 in", "metric": "2 cm"}
APART_MM = 7.0
PIECE_MM = {"us": 177.8, "metric": 180.0}
HOW = WORDS.several("how")


def gauge_tape_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """A tape for each tank that is no sump."""
    sizes, blocks = Sizes(system), list[PaperBlock]()
    length = {"us": "7 in", "metric": "18 cm"}[system]
    for tank in answer["cards"]["tanks"]:
        row = WORDS.say("page.tanks_as_one", count=tank["count"]) if tank["count"] > 1 else ""
        blocks += [NewPage()] if blocks else []
        blocks += [Part(f"{tank['name']}{row}"), Points(_how(length), size_pt=9.0)]
        blocks += _pages(tank, sizes)
    return wall_paper(
        answer, blocks, named=("gauge-tape", WORDS.say("page.gauge_tape")), day=day, system=system
    )


def _how(length: str) -> tuple[str, ...]:
    return tuple(words.format(length=length) for words in HOW)


def _pages(tank: Plain, sizes: Sizes) -> Iterator[PaperBlock]:
    if not tank["shape_known"]:
        yield Lead(WORDS.say("pages.shape_not_known"))
        return
    piece = PIECE_MM[sizes.system]
    sheets = tape_sheets(_ticks(tank, sizes), piece_mm=piece, high_mm=tank["rim_m"] * 1000.0)
    for at, sheet in enumerate(sheets):
        if at:
            yield NewPage()
        says = WORDS.say("pages.strips_tape_with_water", name=tank["name"])
        yield TrueSize(sheet, says, sheet_size_mm(piece)[0])


def _ticks(tank: Plain, sizes: Sizes) -> Iterator[Tick]:
    """The marks, but for those where a band begins."""
    bands = list(_bands(tank, sizes))
    step_mm = {"us": 25.4, "metric": 20.0}[sizes.system]
    for mark in tank["tape"]:
        at_mm = mark["depth_m"] * 1000.0
        near = min((abs(at_mm - one.at_mm) for one in bands), default=step_mm)
        if mark["every"] == THUMB[sizes.system] and near > 0.3 * step_mm:
            level = on_stick(mark["depth_m"], sizes.system)
            yield Tick(at_mm, sizes.volume(mark["total_l"]), level)
    yield from bands


def _bands(tank: Plain, sizes: Sizes) -> Iterator[Tick]:
    """Bands from the floor up; those too close to stand apart share the lowest one's line."""
    known = [(one, says) for one, says in bands_of(tank) if one["level_m"] is not None]
    ticks = list[Tick]()
    for one, says in sorted(known, key=lambda found: found[0]["level_m"]):
        at_mm = one["level_m"] * 1000.0
        if ticks and at_mm - ticks[-1].at_mm < APART_MM:
            ticks[-1] = replace(ticks[-1], words=f"{ticks[-1].words}, {says}")
        else:
            ticks.append(Tick(at_mm, says, sizes.volume(one["total_l"]), stands_out=True))
    yield from ticks
