"""Files that may be read: plain ones, and while sites are shared those within their folder."""

import stat
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from errno import EINVAL
from pathlib import Path

_within: ContextVar[Path | None] = ContextVar("within", default=None)


@contextmanager
def reading_within(folder: Path) -> Iterator[None]:
    """While it lasts, no site reads a file that lies outside this folder."""
    before = _within.set(folder.resolve())
    try:
        yield
    finally:
        _within.reset(before)


def may_be_read(path: Path) -> bool:
    """Whether a site may read what lies there, links followed."""
    folder = _within.get()
    try:
        return folder is None or path.resolve().is_relative_to(folder)
    except (OSError, ValueError, RuntimeError):
        return False


def plain_bytes(file: Path, most_bytes: int = -1) -> bytes:
    """What a plain file says, so many bytes at most where that is not less than 0.

    Raises OSError or ValueError where it cannot be read; what is no file, such as a device or a
    pipe that might never end, is not opened.
    """
    kind = file.stat().st_mode
    if not stat.S_ISREG(kind) and not stat.S_ISDIR(kind):
        raise OSError(EINVAL, "it is no plain file")
    with file.open("rb") as opened:
        return opened.read(most_bytes)
