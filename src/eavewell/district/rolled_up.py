"""A district rolled up: sums and ranges of groups of roofs, none of them so small that it tells."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from pathlib import Path
from typing import TYPE_CHECKING, Any

from eavewell.district.folder_files import RUN
from eavewell.district.grouped import Group, few, grouped
from eavewell.district.part_files import ROOFS, SIZES
from eavewell.faults import BadRoofs

if TYPE_CHECKING:
    import polars

# litres of a mean year, and money; summed over the roofs of a group
_OF_ROOF = ("inflow_l_year", "wanted_l_year")
LITRES = ("supplied_l_year", "spilled_l_year", "kept_l_year", "make_up_l_year", *_OF_ROOF)
MONEY = tuple(
    f"{what}{end}" for what in ("first_cost", "yearly_cost") for end in ("", "_low", "_high")
)
_SHARES = ("supplied_share", "days_met_share")
_KEYS = ("district", "record", "use_set")
_PLACE = ("near_latitude", "near_longitude")
# shares are counted by hundredths, so that their range takes no room
_BINS = 100
RANGE = (0.1, 0.9)


@dataclass(frozen=True, slots=True)
class AtSize:
    """A group of roofs at one tank size.

    reaching : roofs that reach every goal. supplied_share, days_met_share : of a mean roof.
    share_low, share_high : supplied share that nine roofs of ten have, and one of ten, to a
    hundredth. sums : litres of a mean year and money of all its roofs, by column; money is None
    where nothing is priced. use_sets : roofs by their use set.
    """

    size_l: float
    roofs: int
    reaching: int
    supplied_share: float
    days_met_share: float
    share_low: float
    share_high: float
    sums: Mapping[str, float | None]
    use_sets: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Line:
    """A group of roofs, at each size; () and no roofs for one that is not told.

    few : it is too small; else it is told with the rest.
    """

    name: str
    roofs: int
    sizes: tuple[AtSize, ...]
    few: bool = False

    @property
    def told(self) -> bool:
        """Whether it may be told."""
        return bool(self.sizes)


@dataclass(frozen=True, slots=True, eq=False)
class RolledUp:
    """The roofs of a folder of results together.

    run        : what run.json says. districts, records : one line each; what is too small on its
                 own stands in the line of the rest, where that is large enough.
    squares    : one row for each place of the coarse net and size: near_latitude, near_longitude,
                 size_l, roofs, supplied_share (sum).
    """

    run: Mapping[str, Any]
    whole: Line
    districts: tuple[Line, ...]
    records: tuple[Line, ...]
    squares: "polars.DataFrame"


def roll_up(folder: Path) -> RolledUp:
    """Roll up a folder of results; one part is in memory at a time, so the roofs may be many.

    No sum of fewer roofs than tables/district.csv allows can be found from what is told, also not
    by taking one line from another. Raises BadRoofs where there are no results.
    """
    run = _run(folder)
    found = [_gathered(one) for one in _parts(folder)]
    if not found:
        raise BadRoofs(f"No roof was screened in {folder}: there is nothing to roll up.")
    cells, bins, squares = (
        reduce(_added, [one[at] for one in found]) for at in range(len(found[0]))
    )
    counts = {
        (name, record): roofs
        for name, record, roofs in cells.filter(cells["size_l"] == cells["size_l"].min())
        .group_by("district", "record", maintain_order=True)
        .agg(_sum("roofs"))
        .sort("district", "record")
        .iter_rows()
    }
    groups = grouped(counts)
    lines = _Lines(cells, bins)
    return RolledUp(
        run,
        lines.line("", tuple(counts)),
        tuple(lines.of(one) for one in groups.districts),
        tuple(lines.of(one) for one in groups.records),
        squares,
    )


def _run(folder: Path) -> Mapping[str, Any]:
    try:
        run: Mapping[str, Any] = json.loads((folder / RUN).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        raise BadRoofs(f"{folder} holds no results: {RUN} is not there or not whole.") from None
    return run


def _parts(folder: Path) -> Iterator[tuple[Path, Path]]:
    """Both files of every part, in the order of their names."""
    for file in sorted((folder / SIZES).glob("record=*/part-*.parquet")):
        yield folder / ROOFS / file.relative_to(folder / SIZES), file


def _sum(name: str) -> "polars.Expr":
    import polars

    return polars.col(name).sum()


def _gathered(part: tuple[Path, Path]) -> "tuple[polars.DataFrame, ...]":
    """What one part adds: sums of its groups, counts of its shares, sums of its squares."""
    import polars

    roofs = polars.scan_parquet(part[0]).select("row", *_KEYS, *_PLACE, *_OF_ROOF)
    sizes = polars.scan_parquet(part[1]).drop("id", "dry_days_in_worst_spell")
    joined = sizes.join(roofs, on="row", how="left", maintain_order="left").with_columns(
        (polars.col("supplied_share") * _BINS).floor().cast(polars.Int32).alias("bin"),
        polars.col("reaches_goal").cast(polars.Int64).alias("reaching"),
        polars.lit(1, polars.Int64).alias("roofs"),
    )
    both = joined.collect()
    sums = ("roofs", "reaching", *_SHARES, *LITRES, *MONEY)
    return (
        _together(both, (*_KEYS, "size_l"), sums=sums),
        _together(both, ("district", "record", "size_l", "bin"), sums=("roofs",)),
        _together(both, (*_PLACE, "size_l"), sums=("roofs", "supplied_share")),
    )


def _together(
    frame: "polars.DataFrame", keys: Sequence[str], *, sums: Sequence[str]
) -> "polars.DataFrame":
    """Sums by some columns; money that nobody priced stays unknown."""
    import polars

    priced = [
        polars.when(polars.col(name).is_not_null().all()).then(_sum(name)).alias(name)
        if name in MONEY
        else _sum(name)
        for name in sums
    ]
    return (
        frame.group_by(*keys, maintain_order=True)
        .agg(*priced)
        .with_columns(*(polars.col(name).cast(polars.Float64) for name in sums if name in MONEY))
    )


def _added(one: "polars.DataFrame", other: "polars.DataFrame") -> "polars.DataFrame":
    import polars

    keys = [name for name in one.columns if name in (*_KEYS, *_PLACE, "size_l", "bin")]
    sums = [name for name in one.columns if name not in keys]
    return _together(polars.concat((one, other)), keys, sums=sums)


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Lines from sums by district and record. bins : roofs by hundredths of the share."""

    cells: "polars.DataFrame"
    bins: "polars.DataFrame"

    def of(self, group: Group) -> Line:
        if not group.told:
            return Line(group.name, 0, (), group.few)
        return self.line(group.name, group.cells)

    def line(self, name: str, cells: Sequence[tuple[str, str]]) -> Line:
        import polars

        keys = polars.DataFrame(
            {"district": [one for one, _ in cells], "record": [other for _, other in cells]}
        )
        mine = self.cells.join(keys, on=("district", "record"), how="semi")
        bins = self.bins.join(keys, on=("district", "record"), how="semi")
        sizes = sorted(set(mine["size_l"].to_list()))
        each = tuple(
            _at_size(mine.filter(polars.col("size_l") == size), bins, size_l=size) for size in sizes
        )
        small = few(each[0].roofs)
        return Line(name, 0 if small else each[0].roofs, () if small else each, small)


def _at_size(mine: "polars.DataFrame", bins: "polars.DataFrame", *, size_l: float) -> AtSize:
    import polars

    roofs = int(mine["roofs"].sum())
    low, high = _range(bins.filter(polars.col("size_l") == size_l), roofs)
    sums = {name: None if mine[name].null_count() else float(mine[name].sum()) for name in MONEY}
    sets = mine.group_by("use_set").agg(_sum("roofs")).sort("use_set")
    return AtSize(
        size_l,
        roofs,
        int(mine["reaching"].sum()),
        float(mine["supplied_share"].sum()) / roofs,
        float(mine["days_met_share"].sum()) / roofs,
        low,
        high,
        {name: float(mine[name].sum()) for name in LITRES} | sums,
        dict(sets.iter_rows()),
    )


def _range(bins: "polars.DataFrame", roofs: int) -> tuple[float, float]:
    """The hundredth below which a tenth of the roofs lie, and that of nine tenths."""
    counted = bins.group_by("bin").agg(_sum("roofs")).sort("bin")
    ends, passed, found = [share * roofs for share in RANGE], 0, list[float]()
    for at, count in counted.iter_rows():
        passed += count
        while len(found) < len(ends) and passed >= ends[len(found)]:
            found.append(at / _BINS)
    return found[0], found[1]
