"""An answer as JSON, and text written so that a broken run leaves what was there."""

import json
from pathlib import Path
from typing import Any

from eavewell.faults import EavewellFault


def as_json(answer: dict[str, Any]) -> str:
    """The answer as people read JSON too."""
    return json.dumps(answer, indent=1, allow_nan=False, ensure_ascii=False)


def write(path: Path, text: str) -> None:
    """Write beside and rename; EavewellFault for a folder."""
    if path.is_dir():
        raise EavewellFault(f"{path} is a folder: name a file to write.")
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.new")
    beside.write_text(text + ("" if text.endswith("\n") else "\n"), encoding="utf-8")
    beside.replace(path)
