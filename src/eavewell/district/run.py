"""A district screened from its table to its folder of results; what is done is never redone."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import chain
from os import cpu_count
from pathlib import Path

from eavewell.district import on_workers
from eavewell.district.folder_files import table_of, write_bad_rows, write_run
from eavewell.district.gauges import (
    Assigned,
    assign,
    gauges_of,
    is_grid,
    usual_distance_km,
)
from eavewell.district.part_files import is_done, sweep
from eavewell.district.parts_of_work import Asked, Part, asked_of, parts_of
from eavewell.district.roof_rows import BadRow, RoofTable, read_roofs
from eavewell.district.settings import read_district
from eavewell.district.tasks import TASK_ROOFS, Done, here, tasks_of
from eavewell.faults import BadRoofs
from eavewell.files.price_book import price_book
from eavewell.site.district import District, Gauge
from eavewell.site.money import PriceBook

# So many are done here before other processes would have begun.
FEW_ROOFS = 10_000
# A row of a table of text is hardly longer.
MOST_ROW_BYTES = 100

Tell = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Sources:
    """What a district is screened on.

    records   : a folder of daily records with stations.csv, or gridded rain as NetCDF or Zarr.
    within_km : a roof without a record so near is a bad row; None takes the usual distance.
    """

    table: Path
    settings: Path
    records: Path
    within_km: float | None = None


@dataclass(frozen=True, slots=True)
class Hands:
    """Who does the work; none of it changes a result.

    workers : processes here; None takes one a core. scheduler : of a cluster; "" for none.
    roofs   : of a task, at the most.
    """

    workers: int | None = None
    scheduler: str = ""
    roofs: int = TASK_ROOFS

    @property
    def count(self) -> int:
        """Number of workers here."""
        return self.workers or cpu_count() or 1


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """All that is to be done. bad : rows that cannot be screened, so far."""

    asked: Asked
    sources: Sources
    table: RoofTable
    parts: tuple[Part, ...]
    bad: tuple[BadRow, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What was done. before : roofs that an earlier run had done. run : what run.json says."""

    roofs: int
    bad: tuple[BadRow, ...]
    before: int
    run: dict[str, object]


def screen_district(
    sources: Sources, *, out: Path, hands: Hands | None = None, tell: Tell | None = None
) -> Outcome:
    """Screen every roof of a table and write the folder of results.

    tell : called with the roofs done and all roofs, now and then.
    Raises EavewellFault in sentences; rows that cannot be screened stand in bad_rows.csv.
    """
    _refuse_another(out, sources)
    hands = hands or Hands()
    with on_workers.Team(hands.count, hands.scheduler) as team:
        if _is_surely_shared(hands, sources, out=out):
            team.call()
        work = prepare(sources, out=out)
        by_name = {part.name: part.roofs.count for part in work.parts}
        before = sum(part.roofs.count for part in work.parts if is_done(work.asked.out, part))
        refused, done, whole = dict[str, str](), before, sum(by_name.values())
        for some in chain([[]], _done(work, hands, team=team)):
            refused |= {one.name: one.refused for one in some if one.refused}
            done += sum(by_name[one.name] for one in some)
            if tell is not None:
                tell(done, whole)
        return _finished(work, refused, before=before)


def prepare(sources: Sources, *, out: Path) -> Work:
    """Read the table and the settings, find each roof's gauge, and part the work."""
    district = read_district(sources.settings)
    table = read_roofs(sources.table, district)
    book = _book(district)
    gauges, assigned, too_far = _assigned(sources, district, table=table)
    asked = asked_of(district, book, out=_folder(out))
    parts = parts_of(asked, assigned, gauges=gauges)
    sweep(asked.out, parts)
    return Work(asked, sources, table, parts, (*table.bad, *too_far))


def _book(district: District) -> PriceBook:
    own = district.money.prices
    path = Path(district.folder, own).expanduser() if own else None
    return price_book(path, currency=district.money.currency)


def _refuse_another(out: Path, sources: Sources) -> None:
    """BadRoofs where the folder holds the results of another table: they would be swept away."""
    before = table_of(out)
    if before not in ("", sources.table.name):
        raise BadRoofs(
            f"{out} holds the screening of {before}, which would be lost: name another folder with "
            "--out."
        )


def _folder(out: Path) -> Path:
    if out.exists() and not out.is_dir():
        raise BadRoofs(f"{out} is a file: name a folder for the results.")
    out.mkdir(parents=True, exist_ok=True)
    return out.resolve()


def _assigned(
    sources: Sources, district: District, *, table: RoofTable
) -> tuple[tuple[Gauge, ...], Assigned, tuple[BadRow, ...]]:
    gauges = _gauges(sources, district, table=table)
    assigned, too_far = assign(table.roofs, gauges, within_km=_within_km(sources))
    return gauges, assigned, too_far


def _within_km(sources: Sources) -> float:
    return usual_distance_km() if sources.within_km is None else sources.within_km


def _gauges(sources: Sources, district: District, *, table: RoofTable) -> tuple[Gauge, ...]:
    records = sources.records.resolve()
    if not is_grid(records):
        return gauges_of(records, unit=district.unit)
    from eavewell.district.grid import cells_of

    return cells_of(records, table.roofs)


def _done(work: Work, hands: Hands, *, team: on_workers.Team) -> Iterator[list[Done]]:
    """The parts as they are done, here or on workers."""
    asked, parts = work.asked, work.parts
    waiting = sum(part.roofs.count for part in parts if not is_done(asked.out, part))
    if not waiting:
        return iter(())
    if not _is_shared(hands, waiting):
        return here(tasks_of(asked, parts, roofs=hands.roofs, threads=hands.count))
    if not on_workers.is_installed():
        raise BadRoofs("A scheduler needs more: pip install 'eavewell[district]'.")
    return team.done(tasks_of(asked, parts, roofs=hands.roofs, workers=hands.count))


def _is_shared(hands: Hands, waiting: int) -> bool:
    """Whether other processes are worth their start: asked for, or many roofs on several cores."""
    if hands.scheduler:
        return True
    many = hands.workers is not None or waiting > FEW_ROOFS
    return many and hands.count > 1 and on_workers.is_installed()


def _is_surely_shared(hands: Hands, sources: Sources, *, out: Path) -> bool:
    """The same before a row is read; not where all was done before."""
    table = sources.table
    waiting = table.stat().st_size // MOST_ROW_BYTES if table.is_file() else 0
    return (
        on_workers.is_installed()
        and table_of(out) == ""
        and waiting > 0
        and _is_shared(hands, waiting)
    )


def _finished(work: Work, refused: dict[str, str], *, before: int) -> Outcome:
    """Write what stands beside the parts."""
    lost = tuple(
        BadRow(int(row), str(name), refused[part.name])
        for part in work.parts
        if part.name in refused
        for row, name in zip(part.roofs.row, part.roofs.id, strict=True)
    )
    bad = tuple(sorted((*work.bad, *lost), key=lambda one: one.row))
    done = tuple(part for part in work.parts if part.name not in refused)
    write_bad_rows(work.asked.out, bad)
    run = write_run(
        work.asked,
        done,
        told={
            "table": work.sources.table.name,
            "records": work.sources.records.name,
            "within_km": _within_km(work.sources),
            "rows": work.table.rows,
            "bad_rows": len(bad),
            "columns_not_read": list(work.table.aside),
        },
    )
    return Outcome(sum(part.roofs.count for part in done), bad, before, run)
