"""What a drawing is made of: strokes, letters and marks in metres, on layers, seen through views.

Sizes of letters and symbols are millimetres on paper, whatever the scale of the view.
"""

from dataclasses import dataclass, field
from typing import Literal

Point = tuple[float, float]
Anchor = Literal["left", "middle", "right"]
Pattern = Literal["water", "soil", "gravel", "cut"]

# heights of capitals on a full-size print: words, and what heads them
LETTER_MM, HEADING_MM = 2.5, 3.5


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points; closed : back to the first. of : the thing it belongs to."""

    layer: str
    points: tuple[Point, ...]
    closed: bool = False
    of: str = ""


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle, counter-clockwise, degrees from the right; a whole one by default."""

    layer: str
    centre: Point
    radius: float
    from_deg: float = 0.0
    to_deg: float = 360.0
    of: str = ""


@dataclass(frozen=True, slots=True)
class Hatch:
    """An area with a pattern, its outline not drawn."""

    layer: str
    points: tuple[Point, ...]
    pattern: Pattern
    of: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of letters; capital_mm : height of a capital on paper."""

    layer: str
    at: Point
    words: str
    capital_mm: float = LETTER_MM
    anchor: Anchor = "left"
    turned_deg: float = 0.0
    bold: bool = False
    of: str = ""


@dataclass(frozen=True, slots=True)
class Leader:
    """Words that belong to a point; where they stand is found by the layout.

    upright : whether they may stand on end above or below it, as beside signs in a close row.
    """

    layer: str
    tip: Point
    words: str
    capital_mm: float = LETTER_MM
    of: str = ""
    upright: bool = False


@dataclass(frozen=True, slots=True)
class Dimension:
    """A measured distance, drawn off_mm to the left of the way from start to end."""

    layer: str
    start: Point
    end: Point
    words: str
    off_mm: float = 6.0
    of: str = ""


@dataclass(frozen=True, slots=True)
class LevelMark:
    """A level; level_m None is unknown: drawn dashed, with the word. upright : as of a leader."""

    at: Point
    words: str
    level_m: float | None
    of: str = ""
    upright: bool = False


@dataclass(frozen=True, slots=True)
class Symbol:
    """A small sign of fixed size on paper, by its name in tables/symbols.csv; tag : its number."""

    layer: str
    at: Point
    what: str
    size_mm: float = 6.0
    turned_deg: float = 0.0
    tag: str = ""
    of: str = ""


Mark = Stroke | Arc | Hatch | Text | Leader | Dimension | LevelMark | Symbol


@dataclass(frozen=True, slots=True)
class View:
    """Marks seen at a scale.

    across, up : millimetres of paper for a metre, across and upward; a section may press the one
                 and never the other. at_mm : where its origin lies on the sheet, from the lower
                 left corner. within_mm : left, low, right and high of the room that its leaders
                 keep to; None for the whole sheet. in_mm : it stands on the paper around a
                 view: its marks have no size in metres.
    """

    name: str
    marks: tuple[Mark, ...]
    across: float
    up: float
    at_mm: Point = (0.0, 0.0)
    within_mm: tuple[float, float, float, float] | None = None
    in_mm: bool = False

    def on_paper(self, point: Point) -> Point:
        """Where a point of the view lies on the sheet, mm from the lower left corner."""
        return self.at_mm[0] + self.across * point[0], self.at_mm[1] + self.up * point[1]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page: views, and a title block that says what it rests on.

    size  : a row of tables/sheet_sizes.csv. block : lines of the title block, each a label and its
            words. says : the sheet in words, for those who cannot see it.
    """

    name: str
    title: str
    size: str
    views: tuple[View, ...]
    block: tuple[tuple[str, str], ...] = ()
    says: str = ""
    notes: tuple[str, ...] = field(default_factory=tuple)
