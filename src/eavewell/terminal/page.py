"""The page itself: headings, paragraphs and ruled tables, in ink only."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from eavewell.report.blocks import Block, Caution, Heading, Line, Marked, Rows, Words
from eavewell.report.strip import Strip

INDENT = (0, 0, 0, 2)
STRIP_MARGIN = 3
GAP = 2
NARROWEST_NAME = 8


def laid_out(blocks: Iterable[Block]) -> RenderableType:
    """Blocks of a report as the screen prints them."""
    return Group(*(_laid_out(block) for block in blocks))


def _laid_out(block: Block) -> RenderableType:
    if isinstance(block, Heading):
        rule = Rule(Text(block.words, style="bold"), align="left", style="dim")
        return Group(Text(""), rule)
    if isinstance(block, Words | Caution):
        style = "italic" if isinstance(block, Caution) else block.style
        return Padding(Text(block.words, style=style), INDENT) if block.words else Group()
    if isinstance(block, Rows):
        return Padding(Ruled(block.head, block.rows, block.names, block.notes), INDENT)
    if isinstance(block, Marked):
        return _marked(block.mark, block.words, margin=block.margin)
    if isinstance(block, Strip):
        return Stripped(block)
    return Text(block.words, style=block.style) if isinstance(block, Line) else Text("")


@dataclass(frozen=True)
class Stripped:
    """A strip as wide as the page; plain letters where the terminal has no others."""

    strip: Strip

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        """Two lines to four: the strip, what ran empty, the worst spell, the years."""
        width = options.max_width - 2 * STRIP_MARGIN
        ink, *below = self.strip.lines(width, plain=options.ascii_only)
        yield Text(f"  |{ink}|", no_wrap=True)
        for line in below:
            if line:
                yield Text(f"   {line}", no_wrap=True)


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
        """As wide as the cells; where that is too wide, names fold between words, then in them."""
        columns = list(zip(self.head, *self.rows, strict=True))
        widths = [_longest(cells, "\n") for cells in columns]
        words = [max(NARROWEST_NAME, _longest(cells)) for cells in columns]
        for least in (words, [NARROWEST_NAME] * len(columns)):
            while _total(widths) > most:
                wide = [at for at in self.names if widths[at] > least[at]]
                if not wide:
                    break
                widths[max(wide, key=widths.__getitem__)] -= 1
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


def _longest(cells: Sequence[str], between: str | None = None) -> int:
    """The widest piece of any cell; between : what parts the pieces, None for blanks."""
    return max((cell_len(piece) for cell in cells for piece in cell.split(between)), default=0)


def _total(widths: Sequence[int]) -> int:
    return sum(widths) + GAP * (len(widths) - 1)


def _marked(mark: str, words: str, *, margin: int) -> RenderableType:
    """A paragraph hanging from a mark in a margin of some columns."""
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(width=margin)
    grid.add_column(overflow="fold")
    grid.add_row(Text(mark), Text(words))
    return Padding(grid, INDENT)
