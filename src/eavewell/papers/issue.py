"""The mark of an issue: the same letters on every paper of one design, others after a change."""

import json
from hashlib import sha256
from typing import Any

LETTERS = 8
# what moves on with the calendar though nothing was changed
BY_THE_DAY = ("judged_on", "due", "next", "state")


def issue_mark(answer: dict[str, Any]) -> str:
    """Eight letters made from the whole answer, but for what only the day changes."""
    whole = json.dumps(_undated(answer), sort_keys=True, default=str)
    return sha256(whole.encode()).hexdigest()[:LETTERS]


def _undated(found: Any) -> Any:
    if isinstance(found, dict):
        return {key: _undated(value) for key, value in found.items() if key not in BY_THE_DAY}
    return [_undated(value) for value in found] if isinstance(found, list) else found
