"""What stands where on one label, in millimetres: lines wrapped, width to the next step."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from eavewell.drawings.letters import Weight, refuse_missing, width_mm, wrapped_evenly
from eavewell.site.label import Label
from eavewell.tables import rows, table

Flow = Literal["right", "left"]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of letters; x_mm, base_mm : left end of its base line, from the upper left."""

    text: str
    capital_mm: float
    x_mm: float
    base_mm: float
    weight: Weight


@dataclass(frozen=True, slots=True)
class Face:
    """A label laid out."""

    lines: tuple[Line, ...]
    width_mm: float
    height_mm: float
    edge_mm: float


def lay_out(label: Label, flow: Flow = "right") -> Face:
    """Lay out one label: the narrowest step of width on which its large lines keep whole.

    Where nothing is low enough for its pipe, the lowest that there is.

    flow : which way the arrow of a pipe points.
    Raises EavewellFault for letters that the fonts lack.
    """
    refuse_missing((*label.head, label.more))
    steps = sorted(float(row["width_mm"]) for row in rows("label_widths"))
    least = [step for step in steps if step >= label.width_mm - 1e-6]
    faces = [_face(label, width, flow=flow) for width in least or steps[-1:]]
    lowest = min(faces, key=lambda face: (face.height_mm, face.width_mm))
    return next((face for face in faces if _fits(label, face)), lowest)


def _fits(label: Label, face: Face) -> bool:
    """Whether no large line was broken, nor the whole is higher than is seen of the pipe."""
    large = [line for line in face.lines if line.capital_mm == label.letters_mm]
    seen = label.most_height_mm is None or face.height_mm <= label.most_height_mm
    return len(large) <= len(label.head) and seen


def _face(label: Label, width: float, *, flow: Flow) -> Face:
    figures = table("label_figures")
    edge = figures["edge over letters"].value * label.letters_mm
    pitch = figures["line over letters"].value
    room = width - 2.0 * edge
    head = _head(label, room, flow=flow)
    small = small_mm(label.letters_mm)
    more = wrapped_evenly(label.more, small, most_mm=room, weight="Medium")
    base, lines = edge + label.letters_mm, []
    for text in head:
        lines.append(_centred(text, label.letters_mm, base=base, width=width, weight="Bold"))
        base += pitch * label.letters_mm
    last = base - pitch * label.letters_mm
    base = last + pitch * small + 0.35 * label.letters_mm
    for text in more:
        lines.append(_centred(text, small, base=base, width=width, weight="Medium"))
        last, base = base, base + pitch * small
    return Face(tuple(lines), width, last + edge, edge)


def small_mm(letters_mm: float) -> float:
    """Height of the small print under letters of that height."""
    figures = table("label_figures")
    share = figures["small letters, share of the large"].value
    return max(share * letters_mm, figures["small letters"].value)


def _head(label: Label, most: float, *, flow: Flow) -> tuple[str, ...]:
    """Its large lines; those of a pipe on one line where they fit, with the arrow of flow."""
    texts: Iterable[str] = label.head
    if label.flows:
        *before, last = label.head
        texts = (
            (*before, f"{last} →") if flow == "right" else ("← " + label.head[0], *label.head[1:])
        )
        one = " ".join(texts)
        texts = (one,) if width_mm(one, label.letters_mm) <= most else texts
    return tuple(
        line for text in texts for line in wrapped_evenly(text, label.letters_mm, most_mm=most)
    )


def _centred(text: str, capital: float, *, base: float, width: float, weight: Weight) -> Line:
    x_mm = (width - width_mm(text, capital, weight=weight)) / 2.0
    return Line(text, capital, x_mm, base, weight)
