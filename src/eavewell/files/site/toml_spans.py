"""Where in a TOML text each key, value, list item and table stands, letter by letter."""

import re
import tomllib
from dataclasses import dataclass, field
from functools import lru_cache

Address = tuple[str | int, ...]

_TOKEN = re.compile(
    r"(?P<text>\"\"\"(?:\\.|[^\\])*?\"{3,5}|'''.*?'{3,5}|\"(?:\\.|[^\"\\\n])*\"|'[^'\n]*')"
    r"|(?P<skip>[ \t\r]+|#[^\n]*)|(?P<newline>\n)|(?P<mark>[\[\]{}=,.])|(?P<word>[^\s\[\]{}=,.#]+)",
    re.DOTALL,
)
_Token = tuple[str, int, int]


@dataclass(slots=True)
class Block:
    """A header and what stands below it up to the next one; the first block has no header.

    address : of the table, or of the item of a list of tables.
    start, body, end : where the header begins, the line after it, the next header or the end.
    last    : end of its last value or of its header; what follows are comments and empty lines.
    """

    address: Address
    start: int
    body: int
    last: int
    end: int = 0


@dataclass(frozen=True, slots=True)
class Pair:
    """A key with its value: where the key begins, where the value does, where it ends.

    within : address of the table it is written in, which is longer ago for a dotted key.
    inline : True between braces.
    """

    start: int
    value: int
    end: int
    within: Address
    inline: bool


@dataclass(slots=True)
class Spans:
    """What stands where.

    first    : where each key and item is first met. keys : every single key as it is written.
    elements : the items of lists in brackets.
    """

    blocks: list[Block] = field(default_factory=list)
    pairs: dict[Address, Pair] = field(default_factory=dict)
    elements: dict[Address, tuple[int, int]] = field(default_factory=dict)
    keys: list[tuple[Address, int, int]] = field(default_factory=list)
    first: dict[Address, int] = field(default_factory=dict)


@lru_cache(maxsize=8)
def spans_of(text: str) -> Spans:
    """The spans of a text that is known to be TOML."""
    return _Scan(text).spans


class _Scan:
    """One pass over the tokens; nothing is checked here."""

    def __init__(self, text: str) -> None:
        self.text, self.spans = text, Spans(blocks=[Block((), 0, 0, 0)])
        self._items: dict[Address, int] = {}
        self._tokens: list[_Token] = [
            (found[0], found.start(), found.end())
            for found in _TOKEN.finditer(text)
            if found.lastgroup != "skip"
        ]
        self._at = 0
        self._document()

    def _document(self) -> None:
        within: Address = ()
        while self._at < len(self._tokens):
            if self._peek() == "\n":
                self._at += 1
            elif self._peek() == "[":
                within = self._header()
            else:
                self._pair(within)
                self.spans.blocks[-1].last = self._ended
        self.spans.blocks[-1].end = len(self.text)

    def _peek(self) -> str:
        return self._tokens[self._at][0] if self._at < len(self._tokens) else ""

    @property
    def _starts(self) -> int:
        return self._tokens[self._at][1] if self._at < len(self._tokens) else len(self.text)

    @property
    def _ended(self) -> int:
        return self._tokens[self._at - 1][2]

    def _header(self) -> Address:
        start = self._starts
        double = [token[0] for token in self._tokens[self._at : self._at + 2]] == ["[", "["]
        self._at += 2 if double else 1
        address: Address = ()
        keys = self._keys("]")
        for row, (key, begins, ends) in enumerate(keys):
            address = (*(self._last(address) if row else ()), key)
            self.spans.keys.append((address, begins, ends))
            self.spans.first.setdefault(address, start)
        self._at += 1 if double else 0
        if double:
            self._items[address] = self._items.get(address, -1) + 1
            address = self._last(address)
        self.spans.first.setdefault(address, start)
        self.spans.blocks[-1].end = start
        line_end = self.text.find("\n", self._ended)
        body = line_end + 1 if line_end >= 0 else len(self.text)
        self.spans.blocks.append(Block(address, start, body, self._ended))
        return address

    def _last(self, address: Address) -> Address:
        return (*address, self._items[address]) if address in self._items else address

    def _keys(self, end: str) -> list[_Token]:
        keys: list[_Token] = []
        while (word := self._peek()) != end:
            if word != ".":
                keys.append((_bare(word), *self._tokens[self._at][1:]))
            self._at += 1
        self._at += 1
        return keys

    def _pair(self, within: Address, *, inline: bool = False) -> None:
        start, address = self._starts, within
        for key, begins, ends in self._keys("="):
            address = (*address, key)
            self.spans.first.setdefault(address, start)
            self.spans.keys.append((address, begins, ends))
        value = self._starts
        self._value(address)
        self.spans.pairs[address] = Pair(start, value, self._ended, within, inline)

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
                self._pair(address, inline=True)
            else:
                start = self._starts
                self.spans.first[(*address, item)] = start
                self._value((*address, item))
                self.spans.elements[(*address, item)] = (start, self._ended)
                item += 1
        self._at += 1


def _bare(word: str) -> str:
    if word[0] == "'":
        return word[1:-1]
    if word[0] == '"':
        return str(tomllib.loads(f"key = {word}")["key"]) if "\\" in word else word[1:-1]
    return word
