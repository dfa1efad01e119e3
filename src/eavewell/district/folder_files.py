"""What stands beside the parts: the bad rows with their reasons, and run.json."""

import csv
import hashlib
import io
import json
import os
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from eavewell.answers.shown import Sizes
from eavewell.district.grouped import Cell, few, grouped, least_with_range, smallest_group
from eavewell.district.line_sums import LONGEST_RUN, half_run_days, run_counts
from eavewell.district.part_files import SIZES, file_of, rough_km, rough_m
from eavewell.district.parts_of_work import Asked, Part
from eavewell.district.prices import prices_of
from eavewell.district.roof_rows import BadRow
from eavewell.files.rain.plain_csv import begins_invented
from eavewell.storage.goals import in_words
from eavewell.tables import table
from eavewell.units import show

if TYPE_CHECKING:
    import polars

BAD_ROWS, RUN = "bad_rows.csv", "run.json"
# of the programme's papers, in the folder of results
PROGRAMME = "programme"
_RUN = "dry_days_in_worst_spell"
_SUMS = ("supplied_l_year", "spilled_l_year", "kept_l_year", "make_up_l_year")
MODELLED = "Modelled, not verified: no meter was read."
SAYS = (
    MODELLED,
    "Rain, sun and snow of every roof are those of its record's gauge, carried by no factor.",
    "Every tank is as in service: it starts as the first years of the record leave it.",
    "Screening, not design approval: a design of the one site decides.",
)
INVENTED = "Some records are invented and were measured nowhere: for trying things out only."


def write_text(path: Path, text: str) -> None:
    """Write beside and rename."""
    beside = path.with_name(f".{path.name}.{os.getpid()}.new")
    beside.write_text(text, encoding="utf-8")
    beside.replace(path)


def table_of(out: Path) -> str:
    """Name of the table that a folder of results was made of; "" where there are none."""
    try:
        found = json.loads((out / RUN).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return ""
    return str(found.get("table", "")) if isinstance(found, dict) else ""


def write_bad_rows(out: Path, bad: Sequence[BadRow]) -> None:
    """Write the rows that were not screened, in the order of the table."""
    page = io.StringIO()
    writer = csv.writer(page, lineterminator="\n")
    writer.writerow(("row", "id", "reason"))
    writer.writerows((one.row, one.id, one.reason) for one in bad)
    write_text(out / BAD_ROWS, page.getvalue())


def write_run(asked: Asked, parts: Sequence[Part], *, told: dict[str, Any]) -> dict[str, Any]:
    """Write what was asked and what came of it; the same for the same work, whoever did it."""
    digest = hashlib.sha256("\n".join(part.name for part in parts).encode()).hexdigest()
    roofs = sum(part.roofs.count for part in parts)
    money = prices_of(asked.district, asked.book)
    run = {
        "name": asked.district.name,
        **told,
        "screened": roofs,
        "digest": digest[:16],
        "show": asked.district.show,
        "rule": asked.district.rule,
        "sizes_l": list(asked.district.sizes_l),
        "goals": {one.name: [in_words(goal) for goal in one.goals] for one in asked.district.sets},
        "currency": asked.district.money.currency,
        "assumed": list(dict.fromkeys(says for one in money.values() for says in one.assumed)),
        "says": [*SAYS, *_far(asked, parts), *_invented(parts)],
        "records_used": _records(parts),
        "sizes": _sizes(asked, parts, roofs=roofs),
    }
    write_text(asked.out / RUN, json.dumps(run, indent=1, ensure_ascii=False) + "\n")
    return run


def _far(asked: Asked, parts: Sequence[Part]) -> list[str]:
    """How many roofs lie far from their gauge, or far above or below it; nothing where none do."""
    limits, system = table("rain_limits"), asked.district.show
    far_km, far_m = limits["far_station"].value, limits["far_height"].value
    found = [
        (part.distance_km > far_km) | (np.abs(np.nan_to_num(part.height_m)) > far_m)
        for part in parts
    ]
    count = sum(int(one.sum()) for one in found)
    if not count:
        return []
    roofs = f"Fewer than {smallest_group()}" if few(count) else f"{count:,}"
    away, above = show(far_km, "distance", system=system), Sizes(system).height(far_m)
    return [
        f"{roofs} roofs lie more than {away} from their gauge, or {above} above or below it: their "
        "rain may be another."
    ]


def _invented(parts: Sequence[Part]) -> list[str]:
    """That a record is invented, where one says so at its beginning."""
    files = sorted({part.gauge.path for part in parts if part.gauge.cell is None})
    return [INVENTED] if any(begins_invented(one) for one in files) else []


def _records(parts: Sequence[Part]) -> list[dict[str, Any]]:
    """Every record with its roofs, the farthest of them, and how far they stand above it.

    Roofs are counted as the roll-up tells them; of a record with few, nothing is told.
    """
    counts, by_record = Counter[Cell](), dict[str, list[Part]]()
    for part in parts:
        counts.update((str(name), part.gauge.name) for name in part.roofs.district)
        by_record.setdefault(part.gauge.name, []).append(part)
    return [
        {
            "record": one.name,
            "roofs": sum(counts[cell] for cell in one.cells) if one.told else None,
            **_reach(by_record.get(one.name, ()) if one.told else ()),
        }
        for one in grouped(dict(sorted(counts.items()))).records
    ]


def _reach(parts: Sequence[Part]) -> dict[str, float | None]:
    """How far the farthest roof lies from its record, and the highest or lowest above it."""
    far_km = [float(rough_km(part.distance_km).max()) for part in parts]
    high_m = [
        float(one) for part in parts for one in rough_m(part.height_m[~np.isnan(part.height_m)])
    ]
    return {
        "farthest_km": max(far_km, default=None),
        "highest_m": max(high_m, key=abs, default=None),
    }


def _sizes(asked: Asked, parts: Sequence[Part], *, roofs: int) -> list[dict[str, Any]]:
    """All roofs together at each size; () where they are too few to be added up."""
    if few(roofs):
        return []
    sums = [dict.fromkeys(("reaching", "supplied_share", *_SUMS), 0.0) for _ in _each(asked)]
    runs = np.zeros((len(sums), LONGEST_RUN + 2), dtype=np.int64)
    for part in parts:
        frame = _read(asked.out, part)
        size_l, run_days = (frame[one].to_numpy() for one in ("size_l", _RUN))
        runs += run_counts(size_l, run_days, sizes_l=_each(asked))
        for one, found in zip(sums, _summed(frame), strict=True):
            for name in one:
                one[name] += found[name]
    ranged = roofs >= least_with_range()
    return [
        {
            "size_l": size_l,
            "reaching": int(one["reaching"]),
            "mean_supplied_share": one["supplied_share"] / roofs,
            "half_run_days": half_run_days(counts) if ranged else None,
            **{name: one[name] for name in _SUMS},
        }
        for size_l, one, counts in zip(_each(asked), sums, runs, strict=True)
    ]


def _each(asked: Asked) -> tuple[float, ...]:
    return asked.district.sizes_l


def _read(out: Path, part: Part) -> "polars.DataFrame":
    import polars

    columns = ["size_l", "reaches_goal", "supplied_share", _RUN, *_SUMS]
    return polars.read_parquet(file_of(out, SIZES, name=part.name), columns=columns)


def _summed(frame: "polars.DataFrame") -> list[dict[str, Any]]:
    """Sums of one part at each size; each file is one part, so they never depend on the workers."""
    import polars

    found = (
        frame.group_by("size_l", maintain_order=True)
        .agg(
            polars.col("reaches_goal").cast(polars.Float64).sum().alias("reaching"),
            *(polars.col(name).sum() for name in ("supplied_share", *_SUMS)),
        )
        .sort("size_l")
    )
    return found.to_dicts()
