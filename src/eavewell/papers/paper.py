"""A paper: blocks of the report, and what only paper has: parts, pictures, boxes to tick."""

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any, Literal

from eavewell.papers.wall_blocks import WallBlock, plain_wall
from eavewell.report.blocks import Block, Caution, Heading, Line, Marked, Rows, Words
from eavewell.tables.texts import words

WORDS = words("paper")
Paged = Literal["letter", "a4", "half", "wall letter", "wall a4"]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a paper; it stands in the list of contents."""

    words: str


@dataclass(frozen=True, slots=True)
class Lead:
    """What must be read first, set larger."""

    words: str


@dataclass(frozen=True, slots=True)
class Boxes:
    """Things to tick, each with an empty box before it."""

    points: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Form:
    """Lines left to write on, each after its words."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Blank:
    """An empty frame with small words in its corner, such as the place of a seal."""

    words: str
    height_mm: float = 40.0
    width: float = 1.0


@dataclass(frozen=True, slots=True)
class Ledger:
    """A table with a rule below each row; an empty cell is left to write in.

    widths : of the columns, in proportion. height_mm : least of a row.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    height_mm: float = 7.0


@dataclass(frozen=True, slots=True)
class Step:
    """A numbered step with a box to tick.

    says : how, and with which figures. signs : who must sign before the work goes on; "" for none.
    """

    number: int
    words: str
    says: tuple[str, ...] = ()
    signs: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing or a chart as SVG, with what it shows for those who cannot see it.

    width : share of the text's width. wide : on a page of its own, lying on its long side.
    sheet : a wide one that is as large as the page, and is shown so large that its scale holds.
    """

    svg: str
    says: str
    caption: str = ""
    width: float = 1.0
    wide: bool = False
    sheet: bool = False


@dataclass(frozen=True, slots=True)
class NewPage:
    """The rest begins on a new page."""


PaperBlock = (
    Block | Part | Lead | Boxes | Form | Blank | Ledger | Step | Picture | NewPage | WallBlock
)


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper.

    name  : of its file. lead : lines below the title. record, version, issue : at the foot of
    every page, with the day. invented : whether its rain is invented, which every page then says.
    contents : whether a list of its parts stands in front.
    """

    name: str
    title: str
    site: str
    day: date
    record: str
    version: str
    blocks: tuple[PaperBlock, ...]
    lead: tuple[str, ...] = ()
    issue: str = ""
    paged: Paged = "letter"
    invented: bool = False
    contents: bool = False


def plain(paper: Paper, pictures: dict[str, str]) -> dict[str, Any]:
    """The paper as data for the typesetter; pictures gathers every SVG by its file name."""
    day = f"{paper.day.day} {paper.day:%b %Y}"
    issue = WORDS.say("plain.issue", issue=paper.issue) if paper.issue else ""
    return {
        "title": paper.title,
        "site": paper.site,
        "lead": list(paper.lead),
        "foot": WORDS.say(
            "plain.foot",
            site=paper.site,
            record=paper.record,
            version=paper.version,
            day=day,
            issue=issue,
        ),
        "day": [paper.day.year, paper.day.month, paper.day.day],
        "paged": paper.paged,
        "invented": paper.invented,
        "contents": paper.contents,
        "said": {
            "invented": WORDS.say("said.invented"),
            "hold": WORDS.say("said.hold"),
            "until": WORDS.say("said.until"),
            "signature": WORDS.say("said.signature"),
            "day": WORDS.say("said.day"),
        },
        "blocks": [found for block in paper.blocks if (found := _plain(block, pictures))],
    }


def _plain(block: PaperBlock, pictures: dict[str, str]) -> dict[str, Any] | None:
    """None for what paper does not need: gaps and strips of letters."""
    if isinstance(block, WallBlock):
        return plain_wall(block, pictures)
    if isinstance(block, Rows):
        return _rows(block)
    if isinstance(block, Picture):
        file = f"picture-{len(pictures) + 1:02d}.svg"
        pictures[file] = block.svg
        told = {
            name: getattr(block, name) for name in ("says", "caption", "width", "wide", "sheet")
        }
        return {"kind": "picture", "file": file} | told
    if isinstance(block, Boxes | Form | Blank | Ledger | Step | Marked):
        return {"kind": type(block).__name__.lower()} | asdict(block)
    if isinstance(block, Words | Line):
        said = {"words": block.words, "style": block.style}
        return {"kind": "words"} | said if block.words else None
    return _worded(block)


def _worded(block: PaperBlock) -> dict[str, Any] | None:
    if isinstance(block, Heading | Part | Lead | Caution):
        kind = type(block).__name__.lower()
        return {"kind": kind, "words": block.words} if block.words else None
    return {"kind": "newpage"} if isinstance(block, NewPage) else None


def _rows(block: Rows) -> dict[str, Any]:
    columns = range(len(block.head))
    return {
        "kind": "rows",
        "head": [words.replace("\n", " ") for words in block.head],
        "rows": [list(row) for row in block.rows],
        "align": ["left" if at in block.names else "right" for at in columns],
        "notes": list(block.notes),
    }
