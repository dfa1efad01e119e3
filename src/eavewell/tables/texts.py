"""Words of papers and sheets, kept in tables/words: one csv a paper, a key and its text a row."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from eavewell.faults import BadTable


@dataclass(frozen=True, slots=True)
class Words:
    """The texts of one table by their keys.

    A text holds its gaps as {name}, a break of the line as a backslash and n; "|" parts the
    texts of a row.
    """

    name: str
    texts: Mapping[str, str]

    def say(self, key: str, **gaps: object) -> str:
        """The text of a key, its gaps filled."""
        try:
            return self._text(key).format_map(gaps)
        except KeyError as gap:
            raise BadTable(f"tables/words/{self.name}.csv: {key!r} has a gap {gap}.") from gap

    def unfilled(self, key: str) -> str:
        """The text of a key with its gaps left open, for who fills them from an answer."""
        return self._text(key)

    def several(self, key: str) -> tuple[str, ...]:
        """The texts of a row, such as the heads of columns or the lines of a form."""
        return tuple(self._text(key).split("|"))

    def _text(self, key: str) -> str:
        if key not in self.texts:
            raise BadTable(f"tables/words/{self.name}.csv: there is no {key!r}.")
        return self.texts[key]


@cache
def words(name: str) -> Words:
    """Read tables/words/<name>.csv."""
    file = files("eavewell.tables").joinpath("words", f"{name}.csv")
    found = csv.DictReader(file.read_text(encoding="utf-8").splitlines())
    texts = {row["key"]: row["text"].replace("\\n", "\n") for row in found}
    return Words(name, MappingProxyType(texts))
