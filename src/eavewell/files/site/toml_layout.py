"""How a TOML text is laid out: its lines, its blocks, and which comments belong to which."""

from dataclasses import dataclass

from eavewell.files.site.toml_spans import Address, Block, Spans


@dataclass(frozen=True, slots=True)
class Layout:
    """A text with its spans; its lines end with one letter here, in the file with `line_mark`."""

    text: str
    spans: Spans
    line_mark: str

    def line_end(self, at: int) -> int:
        """The beginning of the next line, or the end of the text."""
        end = self.text.find("\n", at)
        return end + 1 if end >= 0 else len(self.text)

    def line_start(self, at: int) -> int:
        """The beginning of the line."""
        return self.text.rfind("\n", 0, at) + 1

    def comments_above(self, at: int, *, floor: int) -> int:
        """Where the comments that stand right above a line begin, not above `floor`."""
        start = self.line_start(at)
        while start > floor:
            above = self.line_start(start - 1)
            if above < floor or not self.text[above:start].lstrip().startswith("#"):
                break
            start = above
        return start

    def own_start(self, row: int) -> int:
        """Where a block begins, with the comments right above its header."""
        floor = self.line_end(self.spans.blocks[row - 1].last) if row > 1 else self._root_end()
        return self.comments_above(self.spans.blocks[row].start, floor=floor)

    def _root_end(self) -> int:
        last = self.spans.blocks[0].last
        return self.line_end(last) if last else 0

    def own_end(self, row: int) -> int:
        """Where a block ends, with the comments right below its last value."""
        blocks = self.spans.blocks
        end = self.line_end(blocks[row].last) if row or blocks[0].last else 0
        most = self.own_start(row + 1) if row + 1 < len(blocks) else len(self.text)
        while end < most and self.text[end : self.line_end(end)].lstrip().startswith("#"):
            end = self.line_end(end)
        return end

    def blocks_of(self, address: Address) -> list[int]:
        """The blocks that a table or an item is written in, with all inside it."""
        return [
            row
            for row, block in enumerate(self.spans.blocks)
            if row and block.address[: len(address)] == address
        ]

    def regions(self, address: Address) -> list[tuple[int, int]]:
        """The stretches of text of all its blocks; neighbours are one stretch."""
        found: list[tuple[int, int]] = []
        last = -1
        for row in self.blocks_of(address):
            if found and row == last + 1:
                found[-1] = (found[-1][0], self.own_end(row))
            else:
                found.append((self.own_start(row), self.own_end(row)))
            last = row
        return found

    def block_of(self, address: Address) -> Block | None:
        """The block whose header opens a table, or the first one for the top."""
        return next((one for one in self.spans.blocks if one.address == address), None)

    def spliced(self, *changes: tuple[int, int, str]) -> str:
        """The text with stretches replaced; none may overlap."""
        text = self.text
        for start, end, piece in sorted(changes, reverse=True):
            text = text[:start] + piece + text[end:]
        return text.replace("\n", self.line_mark)
