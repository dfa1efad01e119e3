"""On which line of a TOML text each key stands, for faults that name the line."""

import re
from collections.abc import Mapping

Address = tuple[str | int, ...]

_TOKEN = re.compile(
    r"(?P<text>\"\"\"(?:\\.|[^\\])*?\"{3,5}|'''.*?'{3,5}|\"(?:\\.|[^\"\\\n])*\"|'[^'\n]*')"
    r"|(?P<skip>[ \t\r]+|#[^\n]*)|(?P<newline>\n)|(?P<mark>[\[\]{}=,.])|(?P<word>[^\s\[\]{}=,.#]+)",
    re.DOTALL,
)


def lines_of(text: str) -> Mapping[Address, int]:
    """The line, counted from 1, of every key and list item of a TOML text that parses.

    An address is the way down to it, such as ("roof", 0, "plan").
    """
    return _Scan(text).lines


def nearest_line(lines: Mapping[Address, int], address: Address) -> int | None:
    """The line of an address, or of the closest thing around it; None where there is none."""
    for length in range(len(address), 0, -1):
        if address[:length] in lines:
            return lines[address[:length]]
    return None


class _Scan:
    """One pass over the tokens; the text is known to be TOML, so nothing is checked here."""

    def __init__(self, text: str) -> None:
        self.lines: dict[Address, int] = {}
        self._items: dict[Address, int] = {}
        self._tokens: list[tuple[str, str, int]] = []
        line = 1
        for found in _TOKEN.finditer(text):
            kind = found.lastgroup or ""
            if kind != "skip":
                self._tokens.append((kind, found[0], line))
            line += found[0].count("\n")
        self._at = 0
        self._document()

    def _document(self) -> None:
        table: Address = ()
        while self._at < len(self._tokens):
            if self._peek() == "\n":
                self._at += 1
            elif self._peek() == "[":
                table = self._header()
            else:
                self._pair(table)

    def _peek(self) -> str:
        return self._tokens[self._at][1] if self._at < len(self._tokens) else ""

    def _header(self) -> Address:
        line = self._tokens[self._at][2]
        double = [token[1] for token in self._tokens[self._at : self._at + 2]] == ["[", "["]
        self._at += 2 if double else 1
        address: Address = ()
        keys = self._keys("]")
        for key in keys[:-1]:
            address = self._last((*address, key))
        address = (*address, keys[-1])
        self.lines.setdefault(address, line)
        self._at += 1 if double else 0
        if double:
            self._items[address] = self._items.get(address, -1) + 1
            address = self._last(address)
        self.lines.setdefault(address, line)
        return address

    def _last(self, address: Address) -> Address:
        return (*address, self._items[address]) if address in self._items else address

    def _keys(self, end: str) -> list[str]:
        keys: list[str] = []
        while (word := self._peek()) != end:
            if word != ".":
                keys.append(_bare(word))
            self._at += 1
        self._at += 1
        return keys

    def _pair(self, table: Address) -> None:
        line, address = self._tokens[self._at][2], table
        for key in self._keys("="):
            address = (*address, key)
            self.lines.setdefault(address, line)
        self._value(address)

    def _value(self, address: Address) -> None:
        opened = self._peek()
        if opened == "[":
            self._inside(address, "]")
        elif opened == "{":
            self._inside(address, "}")
        else:
            # a number or a date may be several tokens: 30.9, 2027-07-01 08:00:00
            while self._peek() not in ("", "\n", ",", "]", "}"):
                self._at += 1

    def _inside(self, address: Address, end: str) -> None:
        self._at += 1
        item = 0
        while (word := self._peek()) not in (end, ""):
            if word in ("\n", ","):
                self._at += 1
            elif end == "}":
                self._pair(address)
            else:
                self.lines[(*address, item)] = self._tokens[self._at][2]
                self._value((*address, item))
                item += 1
        self._at += 1


def _bare(word: str) -> str:
    if word[0] == "'":
        return word[1:-1]
    if word[0] == '"':
        return re.sub(r"\\(.)", r"\1", word[1:-1])
    return word
