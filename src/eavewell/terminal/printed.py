"""A page on the screen, or as plain text for a file."""

from collections.abc import Iterable
from io import StringIO
from shutil import get_terminal_size

from rich.console import Console

from eavewell.report.blocks import Block
from eavewell.terminal.page import laid_out

WIDEST, PAPER, NARROWEST = 100, 88, 72


def put(page: Iterable[Block]) -> None:
    """Print a page as wide as the screen, within what reads well."""
    width = max(NARROWEST, min(WIDEST, get_terminal_size((PAPER, 40)).columns))
    console = Console(width=width, highlight=False, soft_wrap=False)
    with console.capture() as taken:
        console.print(laid_out(page))
    print(_trimmed(taken.get()), end="")


def on_paper(page: Iterable[Block]) -> str:
    """A page as plain text."""
    text = StringIO()
    Console(file=text, width=PAPER, color_system=None, highlight=False).print(laid_out(page))
    return _trimmed(text.getvalue())


def _trimmed(text: str) -> str:
    """Without blanks at the ends of lines."""
    return "".join(f"{line.rstrip()}\n" for line in text.splitlines())
