"""What papers told before: two that differ by few roofs, or tell few otherwise, tell those."""

import os
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from eavewell.district.grouped import smallest_group
from eavewell.district.line_sums import LITRES, MONEY, SHARES
from eavewell.district.rolled_up import parts_in, told_lines
from eavewell.district.told_together import LINES, may_tell_few

if TYPE_CHECKING:
    import polars

# one file a paper; it stays in the folder of results
FOLDER = "told"
# so many papers are remembered
KEPT = 12
_KINDS = {"water": (*SHARES, "dry_days_in_worst_spell", *LITRES), "money": MONEY}
# steps of a digest that spreads every bit of 64 over all (splitmix64)
_STEPS = ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB))


def figures_told(folder: Path) -> "polars.DataFrame":
    """Every roof of a folder of results with the lines that hold it and digests of its figures.

    Columns: id; district and record, the lines of the roll-up; water@ and money@ with each tank
    size in litres.
    """
    import polars

    lines = told_lines(folder)
    found = [_figures(roofs, sizes) for roofs, sizes in parts_in(folder)]
    cells = polars.DataFrame(
        [(*cell, *line) for cell, line in lines.items()],
        schema=[*LINES, *(f"{name} line" for name in LINES)],
        orient="row",
    )
    both = polars.concat(found).join(cells, on=LINES, how="left").drop(*LINES)
    return both.rename({f"{name} line": name for name in LINES})


def _figures(roofs: Path, sizes: Path) -> "polars.DataFrame":
    """Those of one part, a row a roof."""
    import polars

    mine = polars.read_parquet(roofs, hive_partitioning=False).select(
        "row", "id", *LINES, "inflow_l_year", "wanted_l_year"
    )
    every = polars.read_parquet(sizes, hive_partitioning=False).drop("id")
    found = mine.select("row", "id", *LINES)
    for (size_l,), some in every.group_by("size_l", maintain_order=True):
        at = some.join(mine.drop("id", *LINES), on="row", how="left", maintain_order="left")
        digests = {f"{kind}@{size_l}": _digests(at, names) for kind, names in _KINDS.items()}
        found = found.join(polars.DataFrame({"row": at["row"], **digests}), on="row", how="left")
    return found.drop("row")


def _digests(rows: "polars.DataFrame", names: Sequence[str]) -> NDArray[np.uint64]:
    """A digest of each row's figures; what is not known counts as such."""
    found = np.zeros(rows.height, dtype=np.uint64)
    for name in names:
        figure = rows[name].cast(float).fill_null(np.nan).to_numpy() + 0.0
        found ^= figure.view(np.uint64)
        found += np.uint64(0x9E3779B97F4A7C15)
        for shift, times in _STEPS:
            found = (found ^ (found >> np.uint64(shift))) * np.uint64(times)
        found ^= found >> np.uint64(31)
    return found


def nearly_told(folder: Path, told: "polars.DataFrame") -> str:
    """A caution where an earlier paper and this one together tell few roofs; "" where none does."""
    import polars

    for file in _kept(folder):
        try:
            before = polars.read_parquet(file)
            tells = may_tell_few(before, told)
        except (OSError, polars.exceptions.PolarsError):
            continue
        if tells:
            least = smallest_group()
            return (
                f"The paper of {file.name[:10]} and this one differ by fewer than {least} roofs in "
                "a line, or in what they tell of them: who has both may find those by taking one "
                "from the other. Hand on one of the two, never both."
            )
    return ""


def _kept(folder: Path) -> list[Path]:
    """Papers told before, the latest first; each is called by its day and what it rests on."""
    return sorted((folder / FOLDER).glob("*.parquet"), reverse=True)


def keep_told(folder: Path, told: "polars.DataFrame", *, day: date, digest: str) -> None:
    """Remember what a paper tells.

    day : of the paper. digest : of all that it rests on; a paper on the same is kept once.
    """
    files = _kept(folder)
    if any(one.stem.endswith(f"-{digest}") for one in files):
        return
    file = folder / FOLDER / f"{day.isoformat()}-{digest}.parquet"
    file.parent.mkdir(exist_ok=True)
    beside = file.with_name(f".{file.name}.{os.getpid()}.new")
    told.write_parquet(beside)
    beside.replace(file)
    for old in _kept(folder)[KEPT:]:
        old.unlink()
