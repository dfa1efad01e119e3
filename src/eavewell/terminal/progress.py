"""A bar on the screen for work that takes a while."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def bar(what: str) -> Iterator[Callable[[int, int], None]]:
    """What is done and the time left; a function that moves it by done and all.

    what : is counted, such as sites. Nothing is shown where nobody watches.
    """
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
    from rich.progress import TimeRemainingColumn as Left

    columns = (TextColumn(what), BarColumn(), MofNCompleteColumn(), Left())
    console = Console(stderr=True)
    with Progress(*columns, console=console, disable=not console.is_terminal) as shown:
        task = shown.add_task(what, total=None)
        yield lambda done, whole: shown.update(task, completed=done, total=whole)
