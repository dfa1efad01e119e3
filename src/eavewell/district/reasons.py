"""Why rows were not screened, counted without what stood in their cells."""

import re
from collections import Counter
from collections.abc import Iterable

_CELL = re.compile(r"""\s(['"])(?:\\.|(?!\1).)*\1""")
_NUMBER = re.compile(r"-?\d[\d.,]*(e[-+]?\d+)?")


def counted_reasons(says: Iterable[str]) -> list[tuple[str, int]]:
    """Reasons with their rows, the most frequent first."""
    return Counter(plain_reason(one) for one in says).most_common()


def plain_reason(says: str) -> str:
    """A reason without what stood in the cell; that of a record is told whole."""
    if says.startswith("record "):
        return says
    found = _NUMBER.sub("...", _CELL.sub("", says).partition(":")[0]).strip()
    return found if " " in found else f"{found} cannot be read"
