"""Water lines in the section: pump, pressure tank, what the water passes, and the outlets."""

from collections.abc import Iterator
from dataclasses import replace

from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import Leader, LevelMark, Mark, Point, Stroke, Symbol
from eavewell.drawings.pieces import Piece, level
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Lateral, Outlet, Trough
from eavewell.site.place import Show
from eavewell.tables import texts

WORDS = texts.words("sheets")

STEP_M, FIRST_M, RISE_M, ROOMY = 1.0, 0.8, 0.9, 4
_SIGNS = {"hose bibb": "hose", "frost-free hydrant": "hose"}


def line_piece(line: Line, *, ground_m: float, system: Show) -> Piece:
    """The line from its port at the left to its last outlet, everything in the order of flow."""
    of, steps = f"line {line.name}", list(_steps(line))
    low = _low_m(line, ground_m)
    marks: list[Mark] = []
    for at, (what, words) in enumerate(steps):
        x_m = FIRST_M + at * STEP_M
        marks.append(Symbol("fitting", (x_m, low), what, 6.0, of=of))
        marks.append(
            Leader("text", (x_m, low), shortened(words, 24), of=of, upright=len(steps) > ROOMY)
        )
    along = FIRST_M + len(steps) * STEP_M
    outlets = _ends(line)
    ends = [along + at * STEP_M for at in range(len(outlets))]
    marks.append(Stroke("pipe", ((0.0, low), (ends[-1] if ends else along, low)), of=of))
    for x_m, outlet in zip(ends, outlets, strict=True):
        drawn = _outlet(outlet, (x_m, low), of=of, system=system)
        marks += [_on_end(mark) for mark in drawn] if len(ends) > ROOMY else drawn
    if line.pump is not None:
        pump_at = (FIRST_M, low)
        marks.append(level(pump_at, "pump", level_m=line.pump_m, system=system, of=of))
    width = (ends[-1] if ends else along) + STEP_M
    return Piece(tuple(marks), width, {"in": (0.0, low)}, _ground_m(line, ground_m))


def _on_end(mark: Mark) -> Mark:
    """The words of a close row stand on end."""
    return replace(mark, upright=True) if isinstance(mark, LevelMark) else mark


def _low_m(line: Line, ground_m: float) -> float:
    """Level at which a line is drawn: its pump's, or by gravity a little below its outlets."""
    if line.pump_m is not None:
        return line.pump_m
    levels = [end.level_m for end in _ends(line) if end.level_m is not None]
    return min([*levels, ground_m + RISE_M]) - 0.3


def _ground_m(line: Line, ground_m: float) -> float | None:
    """The ground where its outlets lie lower than the site's."""
    levels = [end.level_m for end in _ends(line) if end.level_m is not None]
    low = min(levels, default=ground_m)
    return low if low < ground_m else None


def _ends(line: Line) -> tuple[Outlet | Lateral | Trough, ...]:
    return (*line.outlets, *line.laterals, *line.troughs)


def _steps(line: Line) -> Iterator[tuple[str, str]]:
    """Signs and words in the order of flow; the pressure tank where it stands."""
    if line.pump is not None:
        yield "pump", line.pump.name
    after = line.pressure_tank.after if line.pressure_tank else ""
    if line.pressure_tank is not None and not after:
        yield "pressure tank", WORDS.say("section_lines.steps.pressure_tank")
    for thing in line.in_line:
        yield _sign(thing), thing.name
        if after and thing.name == after:
            yield "pressure tank", WORDS.say("section_lines.steps.pressure_tank")
    if line.heater:
        yield "heater", WORDS.say("section_lines.steps.heater")


def _sign(thing: InLine) -> str:
    return "thing" if thing.kind in ("softener", "neutraliser", "storage", "other") else thing.kind


def _outlet(
    outlet: Outlet | Lateral | Trough, foot: Point, *, of: str, system: Show
) -> Iterator[Mark]:
    sign = "drip" if isinstance(outlet, Lateral) else "trough"
    count = 1
    if isinstance(outlet, Outlet):
        sign, count = _SIGNS.get(outlet.fixture, "tap"), outlet.count
    y = outlet.level_m if outlet.level_m is not None else foot[1]
    many = f"{count} x " if count > 1 else ""
    if abs(y - foot[1]) > 1e-6:
        yield Stroke("pipe", (foot, (foot[0], y)), of=of)
    yield Symbol("fitting", (foot[0], y), sign, 5.0, of=of)
    yield level(
        (foot[0], y),
        f"{many}{shortened(outlet.name)}",
        level_m=outlet.level_m,
        system=system,
        of=of,
    )
