"""The mark of an issue: the same letters on every paper of one design, others after a change."""

import json
from hashlib import sha256
from typing import Any

LETTERS = 8


def issue_mark(answer: dict[str, Any]) -> str:
    """Eight letters made from the whole answer, but for the day on which it was judged."""
    rules = {key: value for key, value in answer["rules"].items() if key != "judged_on"}
    whole = json.dumps(answer | {"rules": rules}, sort_keys=True, default=str)
    return sha256(whole.encode()).hexdigest()[:LETTERS]
