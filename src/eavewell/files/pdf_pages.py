"""Pages of a PDF, opened one document at a time: the library that reads them is of one thread."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pypdfium2 import PdfDocument

_ONE_AT_A_TIME = Lock()


@contextmanager
def opened(data: bytes) -> Iterator["PdfDocument"]:
    """The document, while no other one is open; PdfiumError where it is none."""
    from pypdfium2 import PdfDocument

    with _ONE_AT_A_TIME, PdfDocument(data) as document:
        yield document
