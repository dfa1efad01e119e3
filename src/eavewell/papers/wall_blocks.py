"""What only wall cards have: large letters, tables read at arm's length, strips at true size."""

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Large:
    """Words read from across a room. tone : "" for ink, "rust" for danger, "blue" for water."""

    words: str
    tone: str = ""
    size_pt: float = 17.0


@dataclass(frozen=True, slots=True)
class WallRows:
    """A table in large letters. names : columns that read left.

    tones : ground of each row: "", "blue", "sand" or "rust". bold : rows that stand out.
    across : rows whose first cell goes across. widths : of the columns, in proportion; empty
             for as wide as their words.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    tones: tuple[str, ...]
    bold: tuple[int, ...] = ()
    across: tuple[int, ...] = ()
    widths: tuple[float, ...] = ()
    names: tuple[int, ...] = (0,)
    size_pt: float = 12.0


@dataclass(frozen=True, slots=True)
class Points:
    """Short sentences in large letters, numbered where their order matters."""

    points: tuple[str, ...]
    numbered: bool = False
    size_pt: float = 12.5


@dataclass(frozen=True, slots=True)
class LogLines:
    """Empty lines in columns, to write in. widths : of the columns, in proportion."""

    head: tuple[str, ...]
    widths: tuple[float, ...]
    lines: int
    height_mm: float = 8.0


@dataclass(frozen=True, slots=True)
class TrueSize:
    """A picture at its true size, to be cut out. says : what it shows."""

    svg: str
    says: str
    width_mm: float


WallBlock = Large | WallRows | Points | LogLines | TrueSize


def plain_wall(block: WallBlock, pictures: dict[str, str]) -> dict[str, Any]:
    """The block as data for the typesetter; pictures gathers every SVG by its file name."""
    kind = {"kind": type(block).__name__.lower()}
    if isinstance(block, TrueSize):
        file = f"picture-{len(pictures) + 1:02d}.svg"
        pictures[file] = block.svg
        return kind | {"file": file, "says": block.says, "width_mm": block.width_mm}
    if isinstance(block, WallRows):
        aligns = ["left" if at in block.names else "right" for at in range(len(block.head))]
        return kind | asdict(block) | {"align": aligns}
    return kind | asdict(block)
