"""A district rolled up: sums and ranges of groups of roofs, none of them so small that it tells."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from eavewell.district.folder_files import RUN
from eavewell.district.grouped import (
    RANGE,
    REST,
    Cell,
    Group,
    Groups,
    few,
    grouped,
    least_with_range,
)
from eavewell.district.line_sums import LITRES, MONEY, LineSums, half_run_days
from eavewell.district.part_files import ROOFS, SIZES
from eavewell.faults import BadRoofs

if TYPE_CHECKING:
    import polars

_OF_ROOF = ("district", "record", "use_set", "inflow_l_year", "wanted_l_year")
_PLACE = ("near_latitude", "near_longitude")


@dataclass(frozen=True, slots=True)
class AtSize:
    """A group of roofs at one tank size.

    reaching : roofs that reach every goal. supplied_share, days_met_share : of a mean roof.
    share_low, share_high : supplied share that nine roofs of ten have, and one of ten, to a
    hundredth; None where too few roofs lie beyond.
    half_run_days : the longest run of short days that half of the roofs have or fall below; one
    past LONGEST_RUN for a longer one, None where too few roofs lie on either side.
    sums : litres of a mean year and money of all its roofs, by column; money is None where nothing
    is priced. use_sets : roofs by their use set.
    """

    size_l: float
    roofs: int
    reaching: int
    supplied_share: float
    days_met_share: float
    share_low: float | None
    share_high: float | None
    half_run_days: int | None
    sums: Mapping[str, float | None]
    use_sets: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Line:
    """A group of roofs, at each size; () and no roofs for one that is told with the rest."""

    name: str
    roofs: int
    sizes: tuple[AtSize, ...]

    @property
    def told(self) -> bool:
        """Whether it may be told."""
        return bool(self.sizes)


@dataclass(frozen=True, slots=True, eq=False)
class RolledUp:
    """The roofs of a folder of results together.

    run : what run.json says. districts, records : one line each; what is too small on its own
    has none, as its name alone would tell that somebody is there: it stands in the line of the
    rest, where that is large enough. few_districts, few_records : how many those are.
    """

    run: Mapping[str, Any]
    whole: Line
    districts: tuple[Line, ...]
    records: tuple[Line, ...]
    few_districts: int
    few_records: int

    @property
    def rest(self) -> int:
        """Roofs of the districts that are told together."""
        return sum(one.roofs for one in self.districts if one.name == REST)


def roll_up(folder: Path) -> RolledUp:
    """Roll up a folder of results; one part is in memory at a time, so the roofs may be many.

    No sum of fewer roofs than tables/district.csv allows can be found from what is told, also not
    by taking one line from another. Raises BadRoofs where there are no results.
    """
    run, counts = _run(folder), _counted(folder)
    if not counts:
        raise BadRoofs(f"No roof was screened in {folder}: there is nothing to roll up.")
    groups = grouped(counts)
    sums = _summed(folder, groups, sizes_l=run["sizes_l"])
    whole = _line(Group("", tuple(counts), told=True), sums, at=0)
    told = [one for one in (*groups.districts, *groups.records) if one.told]
    at = {id(one): place for place, one in enumerate(told, 1)}
    districts, records = (
        tuple(_line(one, sums, at=at.get(id(one))) for one in some if not one.few)
        for some in (groups.districts, groups.records)
    )
    few_districts, few_records = (
        sum(one.few for one in some) for some in (groups.districts, groups.records)
    )
    return RolledUp(run, whole, districts, records, few_districts, few_records)


def _run(folder: Path) -> Mapping[str, Any]:
    try:
        run: Mapping[str, Any] = json.loads((folder / RUN).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        raise BadRoofs(f"{folder} holds no results: {RUN} is not there or not whole.") from None
    return run


def parts_in(folder: Path) -> Iterator[tuple[Path, Path]]:
    """Both files of every part, in the order of their names."""
    for file in sorted((folder / SIZES).glob("record=*/part-*.parquet")):
        yield folder / ROOFS / file.relative_to(folder / SIZES), file


def _counted(folder: Path) -> dict[Cell, int]:
    """Roofs by district and record."""
    import polars

    counts = dict[Cell, int]()
    for roofs, _ in parts_in(folder):
        found = polars.scan_parquet(roofs).group_by("district", "record").len().collect()
        for district, record, count in found.iter_rows():
            counts[district, record] = counts.get((district, record), 0) + count
    return dict(sorted(counts.items()))


def told_lines(folder: Path) -> dict[Cell, tuple[str, str]]:
    """The district's line and the record's that hold each cell of a folder of results."""
    groups = grouped(_counted(folder))
    districts, records = (
        {cell: one.name for one in some if one.told for cell in one.cells}
        for some in (groups.districts, groups.records)
    )
    return {cell: (districts.get(cell, ""), records.get(cell, "")) for cell in districts | records}


def _summed(folder: Path, groups: Groups, *, sizes_l: Sequence[float]) -> LineSums:
    """Every line that is told, part by part; line 0 is all roofs."""
    import polars

    districts = [one for one in groups.districts if one.told]
    records = [one for one in groups.records if one.told]
    by_cell = {cell: [0] for one in (*groups.districts, *groups.records) for cell in one.cells}
    for line, group in enumerate((*districts, *records), 1):
        for cell in group.cells:
            by_cell[cell].append(line)
    sums = LineSums(1 + len(districts) + len(records), tuple(sizes_l))
    for roofs, sizes in parts_in(folder):
        left = polars.scan_parquet(roofs).select("row", *_OF_ROOF)
        right = polars.scan_parquet(sizes).drop("id")
        both = right.join(left, on="row", how="left", maintain_order="left").collect()
        for (district, record), rows in both.group_by("district", "record", maintain_order=True):
            for line in by_cell[str(district), str(record)]:
                sums.add(line, rows)
    return sums


def places_at(folder: Path, *, size_l: float) -> "polars.DataFrame":
    """Roofs and the sum of their supplied shares by their place on the coarse net.

    Columns: near_latitude, near_longitude, roofs, supplied_share; for the map alone.
    """
    import polars

    found = polars.DataFrame()
    for roofs, sizes in parts_in(folder):
        share = polars.scan_parquet(sizes).filter(polars.col("size_l") == size_l)
        place = polars.scan_parquet(roofs).select("row", *_PLACE)
        both = share.select("row", "supplied_share").join(place, on="row", maintain_order="left")
        one = both.with_columns(polars.lit(1, polars.Int64).alias("roofs")).collect()
        found = (
            polars.concat((found, one.drop("row")), how="diagonal")
            .group_by(*_PLACE, maintain_order=True)
            .agg(polars.col("roofs").sum(), polars.col("supplied_share").sum())
        )
    return found.sort(*_PLACE)


def _line(group: Group, sums: LineSums, *, at: int | None) -> Line:
    if at is None or few(sums.roofs(at)):
        return Line(group.name, 0, ())
    sizes = tuple(_at_size(sums, at, size=size) for size in range(len(sums.sizes_l)))
    return Line(group.name, sums.roofs(at), sizes)


def _at_size(sums: LineSums, line: int, *, size: int) -> AtSize:
    roofs = sums.roofs(line)
    low, high = sums.range(line, size, shares=RANGE)
    ranged = roofs >= least_with_range()
    found = {name: float(sums.sums[name][line, size]) for name in (*LITRES, *MONEY)}
    return AtSize(
        sums.sizes_l[size],
        roofs,
        round(float(sums.sums["reaches_goal"][line, size])),
        float(sums.sums["supplied_share"][line, size]) / roofs,
        float(sums.sums["days_met_share"][line, size]) / roofs,
        low if ranged else None,
        high if ranged else None,
        half_run_days(sums.runs[line, size]) if ranged else None,
        {name: None if np.isnan(value) else value for name, value in found.items()},
        dict(sorted(sums.use_sets[line].items())),
    )
