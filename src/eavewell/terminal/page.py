"""The page itself: headings, paragraphs and ruled tables, in ink only."""

from collections.abc import Sequence

from rich.cells import cell_len
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

INDENT = (0, 0, 0, 2)
BELOW = (0, 0, 0, 4)
GAP = 2
# A longer name folds, so that the figures keep their columns on a narrow page.
WIDEST_NAME = 26


def heading(words: str) -> RenderableType:
    """A section's heading with a rule."""
    line = Rule(Text(words, style="bold"), align="left", style="dim")
    return Group(Text(""), line)


def paragraph(*sentences: str, style: str = "") -> RenderableType:
    """Sentences set as one paragraph; nothing where there are none."""
    words = " ".join(sentence for sentence in sentences if sentence)
    return Padding(Text(words, style=style), INDENT) if words else Group()


def ruled(
    head: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    names: Sequence[int] = (0,),
    notes: Sequence[str] = (),
) -> RenderableType:
    """A table with one rule below its head.

    names : columns that read left; the rest reads right. notes : a sentence below each row.
    """
    columns = list(zip(head, *rows, strict=True))
    widths = [_width(cells, is_name=at in names) for at, cells in enumerate(columns)]
    rule = "-" * (sum(widths) + GAP * (len(widths) - 1))
    lines: list[RenderableType] = [_line(head, widths, names=names, style="italic")]
    lines.append(Text(rule, style="dim", no_wrap=True, overflow="crop"))
    for at, row in enumerate(rows):
        lines.append(_line(row, widths, names=names))
        if notes and notes[at]:
            lines.append(Padding(Text(notes[at]), (0, 0, 0, 2)))
    return Padding(Group(*lines), INDENT)


def marked(mark: str, words: str, *, style: str = "", margin: int = 1) -> RenderableType:
    """A paragraph hanging from a mark in a margin of some columns."""
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(width=margin)
    grid.add_column(overflow="fold")
    grid.add_row(Text(mark, style=style), Text(words))
    return Padding(grid, INDENT)


def _line(
    cells: Sequence[str], widths: Sequence[int], *, names: Sequence[int], style: str = ""
) -> RenderableType:
    grid = Table.grid(padding=(0, GAP, 0, 0))
    for at, width in enumerate(widths):
        grid.add_column(
            width=width,
            justify="left" if at in names else "right",
            vertical="bottom",
            overflow="fold",
            style=style,
        )
    # As text, never as markup: a site may hold square brackets.
    grid.add_row(*(Text(cell) for cell in cells))
    return grid


def _width(cells: Sequence[str], *, is_name: bool) -> int:
    widest = max(cell_len(line) for cell in cells for line in cell.split("\n"))
    return min(widest, WIDEST_NAME) if is_name else widest
