"""The rain record that a site names, and what it names beside it, found and read."""

from pathlib import Path

from eavewell.faults import BadSite
from eavewell.files.authority import model_authority, read_authority
from eavewell.files.plain_file import may_be_read
from eavewell.files.price_book import price_book
from eavewell.files.rain.readers import read_rain, read_step_rain
from eavewell.files.rain.storm_table import read_storm_table
from eavewell.site.authority import Authority
from eavewell.site.beside import Beside
from eavewell.site.money import PriceBook
from eavewell.site.rain import Rain
from eavewell.site.rain_record import RainRecord, StepRain
from eavewell.site.site import Site
from eavewell.weather.climates import climate_record
from eavewell.weather.invented_storms import climate_storms

CLIMATE_YEARS = 60


def record_of(site: Site) -> RainRecord:
    """Read the record, the station's file in the site folder, or the invented climate.

    Raises BadSite or BadRecord in sentences where there is none.
    """
    return record_named(site.rain, folder=site.folder)


def record_named(rain: Rain, *, folder: str) -> RainRecord:
    """The same of a site of which only its rain is known; folder : in which its files lie."""
    if rain.climate:
        return climate_record(rain.climate, CLIMATE_YEARS)
    if rain.record:
        return _read(folder, rain.record, unit=rain.unit)
    if rain.station:
        return _read(folder, _station_file(folder, rain.station), unit=rain.unit)
    raise BadSite("[rain] names no record: give record, station or climate.")


def neighbour_of(site: Site) -> RainRecord | None:
    """The second record that fills gaps or extends the first; None where none is named."""
    rain = site.rain
    return _read(site.folder, rain.neighbour, unit=rain.unit) if rain.neighbour else None


def beside_of(site: Site) -> Beside:
    """The neighbour, the table of storms, the donor, the rules and the prices that a site names.

    An invented climate lends its own invented storms where no donor is named. Raises BadSite,
    BadRecord, BadRules or BadPrices in sentences.
    """
    table = site.storm.table
    return Beside(
        neighbour=neighbour_of(site),
        storms=read_storm_table(_found(site.folder, table, what="[storm] the table"))
        if table
        else None,
        donor=_donor_of(site),
        authority=authority_of(site),
        prices=prices_of(site),
    )


def authority_of(site: Site) -> Authority:
    """The rules of the file that the site names, else the model rules.

    Raises BadSite or BadRules in sentences.
    """
    name = site.permission.authority
    if not name:
        return model_authority()
    return read_authority(_found(site.folder, name, what="[rules] the authority's file"))


def prices_of(site: Site) -> PriceBook:
    """The shipped prices, and before them those of the owner's csv.

    Raises BadSite or BadPrices in sentences.
    """
    name = site.money.prices
    path = _found(site.folder, name, what="[money] the price book") if name else None
    return price_book(path, currency=site.money.currency)


def _donor_of(site: Site) -> StepRain | None:
    if site.storm.donor:
        return read_step_rain(
            _found(site.folder, site.storm.donor, what="[storm] the donor record")
        )
    return climate_storms(site.rain.climate) if site.rain.climate else None


def _read(folder: str, name: str, *, unit: str) -> RainRecord:
    otherwise = "Put the file there, or bring one in with `eavewell rain station`."
    path = _found(folder, name, what="[rain] the record", otherwise=otherwise)
    return read_rain(path, unit=unit)


def _found(folder: str, name: str, *, what: str, otherwise: str = "Put the file there.") -> Path:
    path = Path(folder, name).expanduser()
    if not may_be_read(path):
        raise BadSite(
            f"{what} {name!r} lies outside the folder of sites: while they are shared, only what "
            "lies in it is read. Put a copy beside the site file, and name that."
        )
    if path.exists() and not path.is_file():
        raise BadSite(f"{what} {name!r} is no file but a folder, a pipe or a device.")
    if not path.is_file():
        raise BadSite(f"{what} {name!r} is not there: looked for {path}. {otherwise}")
    return path


def _station_file(folder: str, station: str) -> str:
    for within in (Path(folder, "records"), Path(folder)):
        for path in sorted(within.glob("*")):
            if path.name.startswith(station) and path.is_file():
                return str(path.relative_to(folder or "."))
    raise BadSite(
        f"[rain] station {station}: no file of that station in the site folder. "
        f"Bring it in with `eavewell rain station {station}`, or name a file with record = ..."
    )
