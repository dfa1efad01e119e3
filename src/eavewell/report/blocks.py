"""What the report is made of; the screen prints it, the papers set it."""

from collections.abc import Sequence
from dataclasses import dataclass

from eavewell.report.strip import Strip


@dataclass(frozen=True, slots=True)
class Heading:
    """A section's heading."""

    words: str


@dataclass(frozen=True, slots=True)
class Words:
    """Sentences set as one paragraph. style : "", "bold" or "italic"."""

    words: str
    style: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """What must not be forgotten beside the result above it."""

    words: str


@dataclass(frozen=True, slots=True)
class Line:
    """One line that is not folded into a paragraph."""

    words: str
    style: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """A line left free."""


@dataclass(frozen=True, slots=True)
class Rows:
    """A table with one rule below its head.

    names : columns that read left; the rest reads right. notes : a sentence below each row.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: tuple[int, ...] = (0,)
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Marked:
    """A paragraph hanging from a mark in a margin of some letters."""

    mark: str
    words: str
    margin: int = 1


Block = Heading | Words | Caution | Line | Gap | Rows | Marked | Strip

GAP = Gap()


def heading(words: str) -> Heading:
    """A section's heading."""
    return Heading(words)


def paragraph(*sentences: str, style: str = "") -> Words:
    """Sentences set as one paragraph; empty where there are none."""
    return Words(" ".join(sentence for sentence in sentences if sentence), style)


def one_line(words: str, *, style: str = "") -> Line:
    """One line by itself."""
    return Line(words, style)


def ruled(
    head: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    names: Sequence[int] = (0,),
    notes: Sequence[str] = (),
) -> Rows:
    """A table; names : columns that read left. notes : a sentence below each row."""
    return Rows(tuple(head), tuple(tuple(row) for row in rows), tuple(names), tuple(notes))


def marked(mark: str, words: str, *, margin: int = 1) -> Marked:
    """A paragraph hanging from a mark."""
    return Marked(mark, words, margin)


INVENTED = one_line("INVENTED CLIMATE: for trying things out, never for building", style="bold")
