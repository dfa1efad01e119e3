"""How large a label is written: by the pipe's outside, or as a sign or a tag."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from eavewell.tables import rows, sources

TOLERANCE_MM = 0.05


@dataclass(frozen=True, slots=True)
class Lettering:
    """Least height of capitals and least width; most_height_mm : None where nothing bounds it."""

    letters_mm: float
    width_mm: float
    most_height_mm: float | None
    source: str


def outside_mm(bore_mm: float) -> float:
    """Outside diameter of the standard pipe of that bore, else of the next larger bore.

    Above the largest pipe of tables/pipe_outside.csv the bore itself.
    """
    known = sorted(
        (float(row["bore_mm"]), float(row["outside_mm"])) for row in rows("pipe_outside")
    )
    above = (outside for bore, outside in known if bore >= bore_mm - TOLERANCE_MM)
    return next(above, bore_mm)


def lettering(size: str) -> Lettering:
    """Letters of a "sign", a "hatch" or a "tag"."""
    row = next(row for row in rows("label_letters") if row["size"] == size)
    return _lettering(row, None)


def pipe_lettering(bore_mm: float) -> Lettering:
    """Letters on a pipe; half its way round is seen from one side.

    A pipe thinner than its letters wears a tag, which nothing bounds.
    """
    outside = outside_mm(bore_mm)
    steps = [row for row in rows("label_letters") if row["size"] == "pipe"]
    at = next(i for i, row in enumerate(steps) if outside <= float(row["to_outside_mm"]))
    return _lettering(steps[at], None if at == 0 else math.pi * outside / 2.0)


def _lettering(row: Mapping[str, str], most_height_mm: float | None) -> Lettering:
    source = f"{sources()[row['source']]['title']}, {row['place']}"
    return Lettering(float(row["letters_mm"]), float(row["width_mm"]), most_height_mm, source)
