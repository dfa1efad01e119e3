"""The commands on rain records: bring one in, look at it, find a station."""

from pathlib import Path
from typing import Annotated, Any

import typer

from eavewell.terminal.show_in import ShowIn, shown_system

rain = typer.Typer(no_args_is_help=True, help="Bring in a rain record, look at it, find a station.")
Unit = Annotated[str, typer.Option("--unit", help="in or mm, where the file does not tell.")]


@rain.command()
def look(
    file: Annotated[Path, typer.Argument(help="A rain record in any layout we read.")],
    *,
    unit: Unit = "",
    show: ShowIn = "us",
) -> None:
    """Judge a record: gaps, dry spells, months, years."""
    from eavewell.answers.shown import Sizes
    from eavewell.files.rain.readers import read_rain
    from eavewell.report.rain_record import rain_page

    _put(rain_page(read_rain(file, unit=unit), Sizes(shown_system(show, "us"))))


@rain.command(context_settings={"ignore_unknown_options": True})
def near(
    latitude: Annotated[float, typer.Argument(help="Degrees, north positive.")],
    longitude: Annotated[float, typer.Argument(help="Degrees, east positive (America: -98.4).")],
    *,
    most: Annotated[int, typer.Option("--most", min=1, max=200, help="How many.")] = 10,
) -> None:
    """List the public stations nearest to a place.

    With their distance and the years of their daily rain.
    """
    from eavewell.files.rain.station import nearest_stations
    from eavewell.report.stations import station_page

    found = nearest_stations(latitude, longitude, most=most)
    _put(station_page(found))


@rain.command()
def station(
    number: Annotated[str, typer.Argument(help="Station number, such as USW00013904.")],
    into: Annotated[Path, typer.Option("--into", help="Folder of records.")] = Path("records"),
) -> None:
    """Bring in the record of a public station.

    One that is there already is left alone.
    """
    from eavewell.files.rain.station import bring_station

    path = bring_station(number, into)
    print(
        f'{path} is there. In a site file with this folder beside it: station = "{number}"; '
        'from elsewhere: record = "PATH", as seen from the site file.'
    )


@rain.command()
def write(
    file: Annotated[Path, typer.Argument(help="A record in any layout we read.")],
    out: Annotated[Path, typer.Argument(help="The csv to write; it must not be there yet.")],
    *,
    unit: Unit = "",
) -> None:
    """Write any record as our plain csv.

    Its columns: date, rain_mm, tmax_c, tmin_c, mark.
    """
    from eavewell.files.rain.readers import read_rain
    from eavewell.files.rain.written import write_rain

    print(f"Wrote {write_rain(read_rain(file, unit=unit), out)}.")


@rain.command()
def climate(
    name: Annotated[str, typer.Argument(help="dry-uplands, green-lowlands, dry-summer-coast.")],
    out: Annotated[Path, typer.Argument(help="The csv to write; it must not be there yet.")],
    *,
    years: Annotated[int, typer.Option("--years", help="Whole years.")] = 60,
) -> None:
    """Write an invented climate, for trying things out.

    No gauge measured it; the name of the csv says so.
    """
    from eavewell.files.rain.written import write_rain
    from eavewell.weather.climates import climate_record

    print(f"Wrote {write_rain(climate_record(name, years), out)}. It is invented.")


def _put(page: Any) -> None:
    from eavewell.terminal.printed import put

    put(page)
