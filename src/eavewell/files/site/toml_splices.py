"""A TOML text with pieces taken out and put in; every letter that is not touched stays."""

from dataclasses import dataclass
from typing import Any

from eavewell.faults import BadSite, Fault
from eavewell.files.site.field_values import near
from eavewell.files.site.toml_layout import Layout
from eavewell.files.site.toml_spans import Address, Block, Pair, spans_of
from eavewell.files.site.toml_values import key_text
from eavewell.files.toml_text import said_in


@dataclass(frozen=True, slots=True)
class Sheet(Layout):
    """A text that parses, what it says, and where each thing of it stands."""

    raw: dict[str, Any]
    file: str

    @classmethod
    def of(cls, text: str, *, file: str = "") -> "Sheet":
        """Read a text; BadSite where it is no TOML."""
        mark = "\r\n" if "\r\n" in text else "\n"
        text = text.replace("\r\n", "\n")
        try:
            raw = said_in(text)  # first: spans are those of a text that parses
            return cls(text, spans_of(text), mark, raw, file)
        except (ValueError, RecursionError) as refused:
            raise BadSite(Fault(f"The file cannot be read: {refused}.", file=file)) from None

    def refuse(self, says: str) -> BadSite:
        """The fault to raise."""
        return BadSite(Fault(says, file=self.file))

    def rows(self, address: Address) -> Address:
        """The address with each item of a list by its row instead of its name.

        Tables that are not there yet are let pass; BadSite for items that are not there.
        """
        within: Any = self.raw
        found: list[str | int] = []
        for step in address:
            if isinstance(within, list):
                row = self._row(within, step, way=(*found, step))
                found.append(row)
                within = within[row]
            elif isinstance(within, dict) and isinstance(step, str):
                found.append(step)
                within = within.get(step, {})
            else:
                raise self.refuse(f"{way_text(address)} does not name a field.")
        return tuple(found)

    def _row(self, within: list[Any], step: str | int, *, way: Address) -> int:
        names = [one.get("name") if isinstance(one, dict) else None for one in within]
        row = names.index(step) if isinstance(step, str) and step in names else step
        if isinstance(row, int) and 0 <= row < len(within):
            return row
        known = tuple(str(one) for one in names if one)
        raise self.refuse(f"There is no {way_text(way)} in the file: {near(str(step), known)}")

    def at(self, address: Address) -> Any:
        """What stands at an address of rows; None where nothing does."""
        return standing_at(self.raw, address)

    def span(self, address: Address) -> tuple[int, int] | None:
        """Where a value or an item of a list in brackets stands; None for other things."""
        if pair := self.spans.pairs.get(address):
            return pair.value, pair.end
        return self.spans.elements.get(address)

    def line_after(self, at: int, line: str) -> tuple[int, int, str]:
        """The change that sets a new line below the one that ends at `at`."""
        end = self.line_end(at)
        gap = "" if end == 0 or self.text[end - 1] == "\n" else "\n"
        return end, end, f"{gap}{line}\n"

    def at_end(self, piece: str) -> tuple[int, int, str]:
        """The change that sets lines at the end of the text, parted by an empty one."""
        end = len(self.text)
        gap = "" if not end else "\n" if self.text.endswith("\n") else "\n\n"
        return end, end, gap + piece

    def in_braces(self, span: tuple[int, int], *, pair: str) -> tuple[int, int, str]:
        """The change that writes one more key and value between braces."""
        start, end = span
        inside = [one.end for one in self.spans.pairs.values() if start < one.start < end]
        if not inside:
            return start, end, f"{{ {pair} }}"
        return max(inside), max(inside), f", {pair}"

    def without_pair(self, pair: Pair, *, comments: bool = False) -> tuple[int, int, str]:
        """The change that takes a key and its value out, with the comment on its line.

        comments : also those right above it.
        """
        if pair.inline:
            return self.without_item(pair.start, pair.end, opens="{")
        block = next(one for one in self.spans.blocks if one.body <= pair.start < one.end)
        start = self.line_start(pair.start)
        if comments:
            start = self.comments_above(pair.start, floor=self._floor(block, pair))
        return start, self.line_end(pair.end), ""

    def _floor(self, block: Block, pair: Pair) -> int:
        ends = [one.end for one in self.spans.pairs.values() if block.body <= one.end <= pair.start]
        return self.line_end(max(ends)) if ends else block.body

    def without_item(self, start: int, end: int, *, opens: str) -> tuple[int, int, str]:
        """The change that takes one of several between brackets out, with one comma."""
        after = len(self.text[end:]) - len(self.text[end:].lstrip(" \t"))
        if self.text[end + after : end + after + 1] == ",":
            end += after + 1
            end += len(self.text[end:]) - len(self.text[end:].lstrip(" \t"))
            return start, end, ""
        before = self.text[:start].rstrip(" \t")
        if before.endswith(","):
            start = len(before) - 1
        elif before.endswith(opens):
            start = len(before)
        return start, end, ""


def standing_at(raw: object, address: Address) -> Any:
    """What stands at an address of rows; None where nothing does."""
    within: Any = raw
    for step in address:
        try:
            within = within[step]
        except (KeyError, IndexError, TypeError):
            return None
    return within


def way_text(address: Address) -> str:
    """An address as a sentence names it."""
    return ".".join(str(step) for step in address) or "an empty address"


def header(address: Address, *, item: bool = False) -> str:
    """The header line of a table, or of an item of a list of tables."""
    keys = ".".join(key_text(step) for step in address if isinstance(step, str))
    return f"[[{keys}]]" if item else f"[{keys}]"
