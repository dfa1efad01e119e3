"""The page itself: headings, paragraphs and ruled tables, in ink only."""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

INDENT = (0, 0, 0, 2)
GAP = 2
NARROWEST_NAME = 8


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
    return Padding(Ruled(head, rows, names, notes), INDENT)


@dataclass(frozen=True)
class Ruled:
    """A table that folds its names, never its figures, where the page is narrow."""

    head: Sequence[str]
    rows: Sequence[Sequence[str]]
    names: Sequence[int]
    notes: Sequence[str]

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        """Head, rule and rows, each with its note."""
        widths = self._widths(options.max_width)
        yield self._line(self.head, widths, style="italic")
        line = ("-" if options.ascii_only else "─") * _total(widths)
        yield Text(line, style="dim", no_wrap=True, overflow="crop")
        for at, row in enumerate(self.rows):
            yield self._line(row, widths)
            if self.notes and self.notes[at]:
                yield Padding(Text(self.notes[at]), INDENT)

    def _widths(self, most: int) -> list[int]:
        columns = zip(self.head, *self.rows, strict=True)
        widths = [
            max(cell_len(line) for cell in cells for line in cell.split("\n")) for cells in columns
        ]
        while _total(widths) > most:
            widest = max(self.names, key=widths.__getitem__)
            if widths[widest] <= NARROWEST_NAME:
                break
            widths[widest] -= 1
        return widths

    def _line(
        self, cells: Sequence[str], widths: Sequence[int], *, style: str = ""
    ) -> RenderableType:
        grid = Table.grid(padding=(0, GAP, 0, 0))
        for at, width in enumerate(widths):
            grid.add_column(
                width=width,
                justify="left" if at in self.names else "right",
                vertical="bottom",
                overflow="fold",
                style=style,
            )
        # As text, never as markup: a site may hold square brackets.
        grid.add_row(*(Text(cell) for cell in cells))
        return grid


def _total(widths: Sequence[int]) -> int:
    return sum(widths) + GAP * (len(widths) - 1)


def marked(mark: str, words: str, *, style: str = "", margin: int = 1) -> RenderableType:
    """A paragraph hanging from a mark in a margin of some columns."""
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(width=margin)
    grid.add_column(overflow="fold")
    grid.add_row(Text(mark, style=style), Text(words))
    return Padding(grid, INDENT)
