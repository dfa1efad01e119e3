"""A programme of tanks as plain data, and its papers: one page after another, map and workbook."""

import csv
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Any

from eavewell.district.folder_files import BAD_ROWS, INVENTED, MODELLED
from eavewell.district.gauges import record_at
from eavewell.district.grouped import least_with_range, smallest_group
from eavewell.district.metered import read_metered
from eavewell.district.peaks import peak_of
from eavewell.district.prices import Prices, prices_of
from eavewell.district.reasons import counted_reasons
from eavewell.district.rolled_up import AtSize, Line, RolledUp, places_at, roll_up
from eavewell.district.run import Sources, Work, prepare
from eavewell.district.run_page import told_first
from eavewell.district.squares import Squares, geojson, squares_of
from eavewell.district.told_before import figures_told
from eavewell.district.worth import costs, ways
from eavewell.drawings.compose import compose
from eavewell.drawings.district_map import DistrictMap, MapGauge, MapSquare, district_map
from eavewell.drawings.svg import svg
from eavewell.faults import BadRoofs, EavewellFault
from eavewell.papers.programme import invented_words, left_off_words, programme_paper
from eavewell.papers.programme_book import programme_book
from eavewell.papers.typeset import pdf
from eavewell.site.district import District, Gauge
from eavewell.site.place import Show

if TYPE_CHECKING:
    import polars

Plain = dict[str, Any]
SHEETS = {"us": "letter", "metric": "a4"}
METERED = "What the tanks would give is modelled, not verified; meters tell what they saved so far."


@dataclass(frozen=True, slots=True, eq=False)
class Programme:
    """A programme ready for paper.

    told : plain data, with no group of few roofs in it. squares : of its map.
    figures : what it tells of each roof, as digests.
    """

    told: Plain
    squares: Squares
    gauges: tuple[Gauge, ...]
    figures: "polars.DataFrame"


def programme(
    sources: Sources, folder: Path, *, day: date, meters: Path | None = None
) -> Programme:
    """Gather what a folder of results says.

    day : of the run, which the papers bear. meters : mains water metered before and after.
    Raises EavewellFault in sentences.
    """
    work, found = prepare(sources, out=folder), roll_up(folder)
    if not found.whole.told:
        raise BadRoofs(f"Fewer than {smallest_group()} roofs were screened: none are added up.")
    district = work.asked.district
    metered = asdict(read_metered(meters)) if meters is not None else None
    prices = prices_of(district, work.asked.book)
    size_l = district.sizes_l[told_first(found.run)]
    gauges = _gauges(work)
    periods = _periods(gauges, district)
    squares = squares_of(places_at(folder, size_l=size_l), size_l=size_l)
    peak = peak_of(district, work.parts, size_l=size_l)
    told = {
        **{name: found.run[name] for name in ("name", "table", "rows", "screened", "bad_rows")},
        **{name: found.run[name] for name in ("digest", "goals", "currency", "assumed")},
        "eavewell": version("eavewell"),
        "day": day.isoformat(),
        "system": district.show,
        "few": smallest_group(),
        "ranged": least_with_range(),
        "size_l": size_l,
        "years": district.money.years,
        "whole": _line(district, found.whole, prices=prices),
        "districts": [_line(district, one, prices=prices) for one in found.districts],
        "records": _records(district, found, prices=prices, periods=periods),
        "records_used": len(periods),
        "few_districts": found.few_districts,
        "few_records": found.few_records,
        "rest": found.rest,
        "invented": any(one["invented"] for one in periods.values()),
        "bad": _bad(folder),
        "ways": ways(district, [*_at(size_l, (found.whole, *found.districts))]),
        "peak": asdict(peak) if peak else None,
        "metered": metered,
        "square_km": [squares.wide_km, squares.high_km],
        "left_off_map": squares.left_off,
        "says": _says(found, metered=metered is not None),
    }
    return Programme(told, squares, gauges, figures_told(folder))


def _says(found: RolledUp, *, metered: bool) -> list[str]:
    """What the run says of what it rests on; that rain is invented has its own place."""
    says = (one for one in found.run["says"] if one != INVENTED)
    return [METERED if metered and one == MODELLED else one for one in says]


def _at(size_l: float, lines: Iterable[Line]) -> Iterable[tuple[str, AtSize]]:
    for line in lines:
        for one in line.sizes:
            if one.size_l == size_l:
                yield line.name, one


def _line(district: District, line: Line, *, prices: Mapping[str, Prices]) -> Plain:
    sizes = [{**asdict(one), "cost": costs(district, one, prices=prices)} for one in line.sizes]
    for one in sizes:
        del one["use_sets"]
    return {"name": line.name, "roofs": line.roofs, "sizes": sizes}


def _gauges(work: Work) -> tuple[Gauge, ...]:
    return tuple(dict.fromkeys(part.gauge for part in work.parts))


def _records(
    district: District,
    found: RolledUp,
    *,
    prices: Mapping[str, Prices],
    periods: Mapping[str, Plain],
) -> list[Plain]:
    """Every record with enough roofs, its period, and how far its roofs lie where they are told."""
    used = {one["record"]: one for one in found.run["records_used"]}
    told = list[Plain]()
    for line in found.records:
        far = used.get(line.name, {}) if line.sizes else {}
        told.append(
            {
                **_line(district, line, prices=prices),
                **periods.get(line.name, {"from": None, "to": None, "invented": False}),
                "farthest_km": far.get("farthest_km"),
                "highest_m": far.get("highest_m"),
            }
        )
    return told


def _periods(gauges: tuple[Gauge, ...], district: District) -> dict[str, Plain]:
    """First and last day of every record by its name; the cells of a grid share its days."""
    by_file = {one.path: one for one in reversed(gauges)}
    by_path = {path: _period(one, district) for path, one in by_file.items()}
    return {one.name: by_path[one.path] for one in gauges}


def _period(gauge: Gauge, district: District) -> Plain:
    try:
        record = record_at(gauge, unit=district.unit)
    except EavewellFault:
        return {"from": None, "to": None, "invented": False}
    return {
        "from": record.first_day.isoformat(),
        "to": record.last_day.isoformat(),
        "invented": record.invented,
    }


def _bad(folder: Path) -> list[Plain]:
    """Rows that were not screened, by reason; ids and what stood in their cells are left out."""
    with (folder / BAD_ROWS).open(encoding="utf-8", newline="") as opened:
        says = [row["reason"] for row in csv.DictReader(opened)]
    return [{"reason": reason, "rows": rows} for reason, rows in counted_reasons(says)]


def papers(found: Programme, *, day: date) -> dict[str, str | bytes]:
    """Every paper of a programme by its file name."""
    told = found.told
    system: Show = told["system"]
    drawn = svg(
        compose(
            district_map(
                _map(found),
                size=SHEETS[system],
                system=system,
                block={
                    "project": told["name"],
                    "date": told["day"],
                },
            )
        )
    )
    paper = programme_paper(told, day=day, system=system, drawn=drawn)
    side = (found.squares.wide_km, found.squares.high_km)
    says = [f"Squares of {side[0]:.1f} by {side[1]:.1f} km.", *told["says"], *invented_words(told)]
    says += [words for words in (left_off_words(told),) if words]
    return {
        "programme.pdf": pdf(paper),
        "programme.xlsx": programme_book(told, day=day, system=system),
        "map.geojson": geojson(found.squares, name=told["name"], says=says),
        "map.svg": drawn,
    }


def _map(found: Programme) -> DistrictMap:
    squares, named = found.squares, {one["name"] for one in found.told["records"]}
    return DistrictMap(
        found.told["name"],
        squares.size_l,
        squares.wide_km,
        squares.high_km,
        found.told["few"],
        tuple(
            MapSquare(one.west, one.south, one.east, one.north, one.supplied_share)
            for one in squares.squares
        ),
        tuple(
            MapGauge(one.name, one.latitude, one.longitude)
            for one in found.gauges
            if one.cell is None and one.name in named
        ),
        invented=found.told["invented"],
    )
