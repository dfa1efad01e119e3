"""What a lesson on rain from a roof needs beside the design: the share that each finish sheds."""

from typing import Any

from eavewell.tables import table


def lesson_answer() -> dict[str, Any]:
    """Every finish with its typical share and the published range."""
    return {
        "finishes": [
            {"name": one.name, "share": one.value, "low": one.low, "high": one.high}
            for one in table("runoff").values()
        ]
    }
