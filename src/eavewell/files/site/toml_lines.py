"""On which line of a TOML text each key stands, for faults that name the line."""

import re
from bisect import bisect_right
from collections.abc import Mapping

from eavewell.files.site.toml_spans import Address, spans_of

__all__ = ["Address", "lines_of", "nearest_line"]


def lines_of(text: str) -> Mapping[Address, int]:
    """The line, counted from 1, of every key and list item of a TOML text that parses.

    An address is the way down to it, such as ("roof", 0, "plan").
    """
    ends = [one.start() for one in re.finditer("\n", text)]
    return {address: bisect_right(ends, at - 1) + 1 for address, at in spans_of(text).first.items()}


def nearest_line(lines: Mapping[Address, int], address: Address) -> int | None:
    """The line of an address, or of the closest thing around it; None where there is none."""
    for length in range(len(address), 0, -1):
        if address[:length] in lines:
            return lines[address[:length]]
    return None
