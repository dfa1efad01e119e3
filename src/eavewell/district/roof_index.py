"""An index beside the results of many roofs: one file a tank size, so that a page is quick."""

import json
import os
import re
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from eavewell.district.folder_files import RUN
from eavewell.district.grouped import smallest_group
from eavewell.district.looked_through import Column, Seen, Wanted, choices_of, looked_through
from eavewell.district.part_files import ROOFS, SIZES
from eavewell.district.rolled_up import Line, roll_up
from eavewell.faults import BadRoofs

if TYPE_CHECKING:
    import polars

INDEX, CHOICES, GROUPS = "index", "choices.json", "districts.json"
LAYOUT = 3
# it is the name of a folder
_DIGEST = re.compile(r"[0-9a-f]{8,64}")
COLUMNS = (
    Column("id", "Roof", finds="holds"),
    Column("district", "District", finds="choice"),
    Column("use_set", "Use set", finds="choice"),
    Column("finish", "Finish", finds="choice"),
    Column("area_m2", "Plan area", "area"),
    Column("record", "Record", finds="choice"),
    Column("record_km", "Distance", "distance"),
    Column("wanted_l_year", "Wanted a year", "volume"),
    Column("supplied_share", "Supplied", "share"),
    Column("days_met_share", "Days met", "share"),
    Column("dry_days_in_worst_spell", "Longest short run, days", "count"),
    Column("reaches_goal", "Reaches its goal", "truth", "truth"),
    Column("smallest_l", "Smallest that does", "volume"),
    Column("supplied_l_year", "Supplied a year", "volume"),
    Column("spilled_l_year", "Spilled a year", "volume"),
    Column("make_up_l_year", "Mains a year", "volume"),
    Column("first_cost", "First cost", "money"),
    Column("yearly_cost", "Cost a year", "money"),
)


@dataclass(frozen=True, slots=True)
class Results:
    """A folder of results with what its run says."""

    folder: Path
    run: dict[str, Any]

    @property
    def index(self) -> Path:
        """Where its index lies; another run or layout has another."""
        return self.folder / INDEX / f"{self.run['digest']}-{LAYOUT}"


def results_of(folder: Path) -> Results:
    """The results of a folder; BadRoofs where none are whole."""
    try:
        run = json.loads((folder / RUN).read_text(encoding="utf-8"))
        whole = bool(_DIGEST.fullmatch(run["digest"])) and bool(run["sizes_l"])
    except (OSError, ValueError, KeyError, TypeError):
        whole = False
    if not whole:
        raise BadRoofs("There are no results in this folder, or they are not whole.")
    return Results(folder, run)


def ready(found: Results) -> None:
    """Write the index where it is not there yet; those of earlier runs go.

    It lies beside until it is whole.
    """
    if found.index.is_dir():
        return
    beside = found.index.with_name(f".{found.index.name}.{os.getpid()}.new")
    shutil.rmtree(beside, ignore_errors=True)
    beside.mkdir(parents=True)
    _write(found, beside)
    for old in found.index.parent.iterdir():
        if old != beside:
            shutil.rmtree(old, ignore_errors=True)
    beside.rename(found.index)


def _write(found: Results, folder: Path) -> None:
    import polars

    parts = sorted((found.folder / SIZES).glob("record=*/part-*.parquet"))
    beside = (found.folder / ROOFS / one.relative_to(found.folder / SIZES) for one in parts)
    both = [(one, other) for one, other in zip(beside, parts, strict=True) if one.is_file()]
    if not both:
        raise BadRoofs("No roof was screened in this folder: there is nothing to look through.")
    roofs = polars.read_parquet([one for one, _ in both], hive_partitioning=False)
    every = polars.scan_parquet([one for _, one in both], hive_partitioning=False).drop("id")
    for at, size_l in enumerate(found.run["sizes_l"]):
        mine = every.filter(polars.col("size_l") == size_l).drop("size_l").collect()
        whole = roofs.join(mine, on="row").sort("row")
        whole.select([one.key for one in COLUMNS]).write_parquet(folder / _file(at))
    text = json.dumps(choices_of(roofs.lazy(), COLUMNS), ensure_ascii=False)
    (folder / CHOICES).write_text(text, encoding="utf-8")
    rolled = roll_up(found.folder)
    groups = {
        "few": rolled.few_districts,
        "rest": rolled.rest,
        "districts": [_group(one) for one in rolled.districts],
    }
    (folder / GROUPS).write_text(json.dumps(groups, ensure_ascii=False), encoding="utf-8")


def _group(line: Line) -> dict[str, Any]:
    """A district at each size; without any where it stands with the rest."""
    names = ("roofs", "reaching", "supplied_share", "share_low", "share_high", "half_run_days")
    sums = ("supplied_l_year", "make_up_l_year")
    return {
        "district": line.name,
        "sizes": [
            {name: getattr(one, name) for name in names} | {name: one.sums[name] for name in sums}
            for one in line.sizes
        ],
    }


def _file(size: int) -> str:
    return f"size-{size:03d}.parquet"


def roofs_seen(found: Results, wanted: Wanted, *, size: int) -> Seen:
    """One page of the roofs at the size of that number, counted from 0."""
    return looked_through(_frame(found, size), wanted, columns=COLUMNS)


def choices(found: Results) -> dict[str, Sequence[str]]:
    """The values of each column that is looked for by them."""
    text = (found.index / CHOICES).read_text(encoding="utf-8")
    told: dict[str, Sequence[str]] = json.loads(text)
    return told


def by_district(found: Results, *, size: int) -> list[dict[str, Any]]:
    """Each district at the size of that number; None for those that stand with the rest."""
    groups = _groups(found)["districts"]
    known: dict[str, Any] = next((one["sizes"][size] for one in groups if one["sizes"]), {})
    unknown = dict.fromkeys(known)
    return [
        {"district": one["district"], **(one["sizes"][size] if one["sizes"] else unknown)}
        for one in groups
        if known
    ]


def in_the_rest(found: Results) -> tuple[str, ...]:
    """What became of the districts of few roofs; nothing where there are none."""
    from eavewell.papers.programme import few_districts_words

    told = _groups(found)
    roofs = found.run["screened"]
    return few_districts_words(told["few"], few=smallest_group(), rest=told["rest"], roofs=roofs)


def _groups(found: Results) -> dict[str, Any]:
    told: dict[str, Any] = json.loads((found.index / GROUPS).read_text(encoding="utf-8"))
    return told


def _frame(found: Results, size: int) -> "polars.LazyFrame":
    import polars

    if not 0 <= size < len(found.run["sizes_l"]):
        raise BadRoofs("There is no such size in these results.")
    return polars.scan_parquet(found.index / _file(size), hive_partitioning=False)
