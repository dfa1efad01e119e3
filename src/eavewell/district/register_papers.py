"""What is written of a register: the data, the round of a field team, the paper of a board."""

import json
from pathlib import Path
from typing import Any

from eavewell.district.register import SITE_FILE
from eavewell.faults import BadSite
from eavewell.papers.board import board_paper
from eavewell.papers.field_round import round_book, round_calendar, round_csv, round_paper
from eavewell.papers.typeset import pdf

REGISTER = "register.json"
FOLDER = "register"


def register_files(answer: dict[str, Any], *, days: int) -> dict[str, str | bytes]:
    """Every file by its name; days : how far ahead the round looks."""
    return {
        REGISTER: json.dumps(answer, indent=1, ensure_ascii=False, allow_nan=False) + "\n",
        "round.csv": round_csv(answer, days=days),
        "round.xlsx": round_book(answer, days=days),
        "round.ics": round_calendar(answer, days=days),
        "round.pdf": pdf(round_paper(answer, days=days)),
        "board.pdf": pdf(board_paper(answer)),
    }


def write_files(found: dict[str, str | bytes], folder: Path) -> None:
    """Write each beside and rename; BadSite where a site lies there."""
    if (folder / SITE_FILE).exists():
        raise BadSite(f"A site is called {folder.name!r}: name another folder with --out.")
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in found.items():
        beside = folder / f".{name}.new"
        data = content.encode() if isinstance(content, str) else content
        beside.write_bytes(data)
        beside.replace(folder / name)
