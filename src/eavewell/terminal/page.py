"""The page itself: headings, paragraphs and ruled tables, in ink only."""

from collections.abc import Iterable, Sequence

from rich import box
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

INDENT = (0, 0, 0, 2)
RULED = box.Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)


def heading(words: str) -> RenderableType:
    """A section's heading with a rule."""
    return Group(
        Text(""), Rule(Text(words, style="bold"), align="left", style="dim", characters="-")
    )


def paragraph(*sentences: str, style: str = "") -> RenderableType:
    """Sentences set as one paragraph."""
    words = " ".join(sentence for sentence in sentences if sentence)
    return Padding(Text(words, style=style), INDENT)


def ruled(
    head: Sequence[str], rows: Iterable[Sequence[str]], *, left: int = 1, gap: int = 2
) -> RenderableType:
    """A table with one rule below its head.

    left : columns that read left; the rest reads right. gap : blanks between columns.
    """
    table = Table(
        box=RULED, show_edge=False, pad_edge=False, padding=(0, gap, 0, 0), header_style="italic"
    )
    for at, name in enumerate(head):
        table.add_column(name, justify="left" if at < left else "right", overflow="fold")
    for row in rows:
        # As text, never as markup: a site may hold square brackets.
        table.add_row(*(Text(cell) for cell in row))
    return Padding(table, INDENT)


def marked(mark: str, words: str, *, style: str = "") -> RenderableType:
    """A paragraph hanging from a mark in the margin."""
    table = Table.grid(padding=(0, 1, 0, 0))
    table.add_column(width=5 if len(mark) > 1 else 1)
    table.add_column(overflow="fold")
    table.add_row(Text(mark, style=style), Text(words))
    return Padding(table, INDENT)
