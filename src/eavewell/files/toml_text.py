"""A TOML text that a person wrote, read whole; what is wrong is said in plain words."""

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from eavewell.faults import EavewellFault, Fault
from eavewell.files.plain_file import plain_bytes

LARGEST_BYTES = 1_000_000
DEEPEST = 30
TOO_DEEP = "Too many brackets stand inside one another."
# what the TOML reader says -> what a person can mend
_IN_PLAIN_WORDS = {
    "illegal character '\\n'": "a quotation mark is opened and not closed",
    "unterminated string": "a quotation mark is opened and not closed",
    "invalid value": "the value is neither a number nor text in quotation marks",
    "cannot overwrite a value": "the same field is given twice",
    "cannot declare": "the same table is opened twice",
    "expected '=' after a key": "a field and its value are joined by '='",
    "expected newline": "more than one field or value stands on the line",
}


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of file: what it is called, what an empty one is told, how it is refused."""

    what: str
    when_empty: str
    refused: type[EavewellFault]


def text_in(file: Path, kind: Kind) -> str:
    """The text of a file; refused where it is not one."""
    try:
        data = plain_bytes(file, LARGEST_BYTES + 1)
    except (OSError, ValueError):
        raise kind.refused(
            Fault(f"There is no {kind.what} here to read.", file=str(file))
        ) from None
    return text_of_bytes(data, kind, file=str(file))


def text_of_bytes(data: bytes, kind: Kind, *, file: str) -> str:
    """The text that the bytes of a file are; refused where they are none, or too many."""
    if len(data) > LARGEST_BYTES:
        raise kind.refused(Fault(f"The file is far too large for {_a(kind.what)}.", file=file))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = "\0"
    if "\0" in text:
        says = f"This is not a text file: {_a(kind.what)} is TOML text."
        raise kind.refused(Fault(says, file=file))
    return text


def toml_of(text: str, kind: Kind, *, file: str) -> dict[str, Any]:
    """What stands in the text; refused with the line where it is not TOML."""
    if not text.strip():
        raise kind.refused(Fault(f"The {kind.what} is empty: {kind.when_empty}", file=file))
    try:
        said = said_in(text)
    except ValueError as refused:
        raise kind.refused(_not_toml(str(refused), text, file=file)) from None
    except RecursionError:
        raise kind.refused(Fault(TOO_DEEP, file=file)) from None
    if is_deep(said):
        raise kind.refused(Fault(TOO_DEEP, file=file))
    return said


@lru_cache(maxsize=16)
def said_in(text: str) -> dict[str, Any]:
    """What a TOML text says, remembered, so never to be altered; ValueError where it is none."""
    return tomllib.loads(text)


def is_deep(said: dict[str, Any]) -> bool:
    """True where more lists and tables stand inside one another than any file of ours needs."""
    level: list[Any] = [said]
    for _ in range(DEEPEST):
        inner = [one.values() if isinstance(one, dict) else one for one in level]
        level = [one for each in inner for one in each if isinstance(one, dict | list)]
    return bool(level)


def _a(what: str) -> str:
    return f"{'an' if what[0] in 'aeiou' else 'a'} {what}"


def _not_toml(message: str, text: str, *, file: str) -> Fault:
    found = re.search(r" \(at (?:line ([0-9]+), column [0-9]+|end of document)\)", message)
    what = message[: found.start()] if found else message
    line = int(found[1]) if found and found[1] else text.count("\n") + 1
    what = what[:1].lower() + what[1:]
    plain = next(
        (says for begins, says in _IN_PLAIN_WORDS.items() if what.startswith(begins)), what
    )
    says = f"The line cannot be read: {plain}."
    return Fault(says, file=file, line=line if found else None)
