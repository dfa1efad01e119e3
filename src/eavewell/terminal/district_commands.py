"""The command on many roofs."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from eavewell.district.run import Sources

screening = typer.Typer()
SETTINGS = "district.toml"


@screening.command()
def district(
    table: Annotated[
        Path,
        typer.Argument(help="Roofs as csv, parquet or GeoJSON; district.toml stands beside it."),
    ],
    *,
    records: Annotated[
        Path,
        typer.Option("--records", help="Folder of daily records, or gridded rain: NetCDF, Zarr."),
    ],
    within: Annotated[
        str, typer.Option("--within", help="Farthest record, such as 15 mi or 25 km.")
    ] = "",
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder of results; left out: by the table.")
    ] = None,
    workers: Annotated[
        int | None, typer.Option("--workers", min=1, max=4096, help="Left out: one a core.")
    ] = None,
    scheduler: Annotated[
        str, typer.Option("--scheduler", help="Of a cluster, such as tcp://host:8786.")
    ] = "",
    paper: Annotated[
        bool, typer.Option("--paper", help="Write the programme too: paper, map and workbook.")
    ] = False,
    meters: Annotated[
        Path | None,
        typer.Option("--meters", help="Mains water metered before and after, for the paper."),
    ] = None,
) -> None:
    """Screen many roofs: what a tank of each size would do for every one.

    Stopped and started again, it goes on where it stood; rows that cannot be screened stand in
    bad_rows.csv with the reason. The folder is left ready for the page 'Many roofs'.
    """
    from eavewell.district.roof_index import ready, results_of
    from eavewell.district.run import Hands, Sources, screen_district
    from eavewell.district.summary import summary_page
    from eavewell.terminal.printed import put
    from eavewell.terminal.progress import bar
    from eavewell.units import read

    within_km = read(within, "distance") if within else None
    sources = Sources(table, table.with_name(SETTINGS), records, within_km)
    folder = out or table.with_name(f"{table.stem}-screened")
    with bar("roofs") as tell:
        outcome = screen_district(sources, out=folder, hands=Hands(workers, scheduler), tell=tell)
    put(summary_page(outcome, folder))
    if paper or meters is not None:
        _write_programme(sources, folder, meters=meters)
        if outcome.roofs:
            ready(results_of(folder))  # for the page that shows it


def _write_programme(sources: "Sources", folder: Path, *, meters: Path | None) -> None:
    from datetime import date

    from eavewell.district.folder_files import PROGRAMME
    from eavewell.district.programme import papers, programme
    from eavewell.district.told_before import keep_told, nearly_told
    from eavewell.papers.written import write_papers

    day = date.today()
    gathered = programme(sources, folder, day=day, meters=meters)
    found = papers(gathered, day=day)
    caution = nearly_told(folder, gathered.figures)
    write_papers(found, folder / PROGRAMME)
    keep_told(folder, gathered.figures, day=day, digest=gathered.told["digest"])
    print(f"Wrote to {folder / PROGRAMME}: {', '.join(found)}.")
    if caution:
        print(caution)
