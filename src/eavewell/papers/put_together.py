"""Many files put into a folder together: all the new ones, or all the old ones stay."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from shutil import copyfile, rmtree

from eavewell.faults import EavewellFault

# the folder in which everything is written before any of it is put in its place
BESIDE = ".eavewell-new"


@dataclass(frozen=True, slots=True)
class Move:
    """A file to be put in its place, None to take away what is there; old : a copy of that."""

    path: Path
    new: Path | None
    old: Path


def put_together(steps: Sequence[tuple[str, bytes | None]], folder: Path) -> None:
    """Put files in their places in this order; one that holds None is taken away.

    steps : names below the folder with what they hold; one may come twice. Everything is on disk
    before the first is renamed. Raises EavewellFault with all as it was before.
    """
    with ExitStack() as undo:
        for path in _missing(folder / name for name, _ in steps):
            with _told(path):
                path.mkdir(exist_ok=True)
            undo.callback(_quietly, path.rmdir)
        with _beside(folder) as beside:
            moves = [
                _ready(folder / name, text, beside=beside / f"{at}-{Path(name).name}")
                for at, (name, text) in enumerate(steps)
            ]
            _move(moves)
        undo.pop_all()


def _missing(paths: Iterable[Path]) -> list[Path]:
    """Folders that are not there yet, outer ones first."""
    found = {way for path in paths for way in path.parents if not way.exists()}
    return sorted(found, key=lambda way: len(way.parts))


@contextmanager
def _beside(folder: Path) -> Iterator[Path]:
    """An empty folder for a while; what a run that was killed left in it goes first."""
    beside = folder / BESIDE
    rmtree(beside, ignore_errors=True)
    try:
        with _told(beside):
            beside.mkdir()
        yield beside
    finally:
        rmtree(beside, ignore_errors=True)


def _ready(path: Path, text: bytes | None, *, beside: Path) -> Move:
    """A step with all that it needs on disk: the new file, and a copy of the old one."""
    old = beside.with_name(f"old-{beside.name}")
    with _told(path):
        if text is not None:
            beside.write_bytes(text)
        if path.exists():
            copyfile(path, old)
    return Move(path, None if text is None else beside, old)


def _move(moves: Iterable[Move]) -> None:
    """Rename all, and all back where one of them is refused."""
    with ExitStack() as undo:
        for move in moves:
            with _told(move.path):
                if move.new is None:
                    move.path.unlink()
                else:
                    move.new.replace(move.path)
            undo.callback(_quietly, partial(_back, move))
        undo.pop_all()


def _back(move: Move) -> None:
    """As it was."""
    if move.old.exists():
        move.old.replace(move.path)
    else:
        move.path.unlink()


def _quietly(act: Callable[[], object]) -> None:
    with suppress(OSError):
        act()


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """A refusal of the disk as a sentence."""
    try:
        yield
    except OSError as refused:
        why = refused.strerror or str(refused)
        raise EavewellFault(f"{path} cannot be written: {why}.") from refused
