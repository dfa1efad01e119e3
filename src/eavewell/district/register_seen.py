"""A register that was written, looked through a page at a time: its sites, and what is due."""

import json
from pathlib import Path
from typing import Any

from eavewell.district.looked_through import Column, Seen, Wanted, frame_of, looked_through
from eavewell.district.register import Register
from eavewell.district.register_answer import register_answer
from eavewell.district.register_papers import FOLDER, REGISTER
from eavewell.faults import BadSite

Plain = dict[str, Any]
SITES = (
    Column("site", "Site", finds="holds"),
    Column("town", "Town", finds="choice"),
    Column("status", "Status", finds="choice"),
    Column("last_reading", "Last read", "day"),
    Column("age", "Age", finds="choice"),
    Column("overdue", "Tasks over", "count"),
    Column("most_overdue_days", "Days over", "count"),
    Column("done_again", "Done again", "count"),
    Column("tests_failed", "Tests failed", "count"),
    Column("tests_expired", "Out of date", "count"),
    Column("tests_open", "Never taken", "count"),
    Column("used_share", "Meter against design", "share"),
    Column("rain_l", "Rain used by meter", "volume"),
    Column("yearly_cost", "Cost a year", "money"),
    Column("currency", "Currency"),
    Column("cost_per_m3", "Cost of rain", "cost"),
    Column("cost_by", "Cost by", finds="choice"),
    Column("second_supply", "Second supply", "truth", "truth"),
    Column("backflow_due", "Backflow test", "day"),
)
ROUND = (
    Column("town", "Town", finds="choice"),
    Column("site", "Site", finds="holds"),
    Column("kind", "Kind", finds="choice"),
    Column("task", "What", finds="holds"),
    Column("things", "Of"),
    Column("due", "Due", "day"),
    Column("overdue_days", "Days over", "count"),
    Column("last_done", "Last done", "day"),
)


def register_in(folder: Path) -> Plain:
    """The register that was last written in a folder of sites; without a day where none was.

    Raises BadSite where it is not whole.
    """
    file = folder / FOLDER / REGISTER
    if not file.is_file():
        return register_answer(Register(folder.name, None, ()))
    try:
        told: Plain = json.loads(file.read_text(encoding="utf-8"))
        if told["schema"] == "eavewell-register/1":
            return told
    except (ValueError, KeyError, TypeError):
        pass
    raise BadSite("The register that lies here is not whole: have the sites read again.")


def sites_seen(register: Plain, wanted: Wanted) -> Seen:
    """One page of its sites."""
    return looked_through(frame_of(register["sites"], SITES), wanted, columns=SITES)


def round_seen(register: Plain, wanted: Wanted) -> Seen:
    """One page of what is due."""
    return looked_through(frame_of(register["due"], ROUND), wanted, columns=ROUND)
