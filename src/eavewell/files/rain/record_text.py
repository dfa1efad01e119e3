"""The bytes of a record file as lines of text; gzip is opened on the way."""

import gzip
import re
import zlib
from dataclasses import dataclass
from pathlib import Path

from eavewell.faults import BadRecord, Fault
from eavewell.files.plain_file import plain_bytes

GZIP = b"\x1f\x8b"
SPREADSHEETS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
UTF16 = (b"\xff\xfe", b"\xfe\xff")
MOST_BYTES = 400_000_000


@dataclass(frozen=True, slots=True)
class RecordText:
    """A record file as lines; `name` is the file as the user named it."""

    name: str
    lines: tuple[str, ...]

    @property
    def stem(self) -> str:
        """The file's own name without folder and endings."""
        return Path(self.name).name.split(".")[0] or self.name

    def bad(self, says: str, line: int | None = None) -> BadRecord:
        """A fault in this file, ready to be raised."""
        return BadRecord(Fault(says, file=self.name, line=line))


def read_text(path: str | Path) -> RecordText:
    """Read a record file; BadRecord where it is absent, empty, cut off or not text."""
    name = str(path)
    try:
        raw = plain_bytes(Path(path))
    except (OSError, ValueError) as cause:
        why = getattr(cause, "strerror", None) or "the name cannot be used"
        raise BadRecord(Fault(f"The rain record cannot be opened ({why}).", file=name)) from None
    return text_of(raw, name)


def text_of(raw: bytes, name: str) -> RecordText:
    """Turn the bytes of a record file into lines; any of the three line ends will do."""
    text = _decoded(_unpacked(raw, name), name)
    if not text.strip():
        raise BadRecord(Fault("The file is empty; bring the rain record in again.", file=name))
    return RecordText(name, tuple(re.split("\r\n|\r|\n", text.rstrip("\r\n"))))


def _unpacked(raw: bytes, name: str) -> bytes:
    if not raw.startswith(GZIP):
        return raw
    worker = zlib.decompressobj(wbits=31)
    try:
        data = worker.decompress(raw, MOST_BYTES)
        if not worker.eof or worker.unused_data:
            data = gzip.decompress(raw) if worker.eof else _cut_off(data, name)
    except (zlib.error, OSError, EOFError):
        raise BadRecord(Fault(_CUT, file=name)) from None
    return data


_CUT = "The gzip file is cut off or damaged; bring it in again, or unpack it and give the text."


def _cut_off(data: bytes, name: str) -> bytes:
    if len(data) >= MOST_BYTES:
        raise BadRecord(Fault("The file is too large for a rain record (400 MB).", file=name))
    raise BadRecord(Fault(_CUT, file=name))


def _decoded(data: bytes, name: str) -> str:
    if data.startswith(SPREADSHEETS):
        says = "This is a spreadsheet or a zip file; save the rain sheet as csv, or unpack it."
        raise BadRecord(Fault(says, file=name))
    try:
        if data.startswith(UTF16):
            return data.decode("utf-16")
        if b"\x00" in data:
            says = (
                "This is not a text file; give the rain record as csv or in the service's layout."
            )
            raise BadRecord(Fault(says, file=name))
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")
