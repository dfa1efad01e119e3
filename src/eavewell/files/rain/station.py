"""The one seam to the network: stations near a place, and a station's record brought in."""

import http.client
import re
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from eavewell.faults import BadRecord, EavewellFault, NoConnection
from eavewell.files.rain.record_text import text_of
from eavewell.weather.site_rain import great_circle_km

Fetch = Callable[[str], bytes]

PUBLIC_ADDRESS = "https://www.ncei.noaa.gov/pub/data/ghcn/daily"
STATIONS, INVENTORY = "ghcnd-stations.txt", "ghcnd-inventory.txt"
WAY_BY_FILE = (
    "Bring the record in by file instead: save the station's .dly or csv and name it in the "
    'site file as record = "...".'
)
LONGEST_S = 30.0
STATION_ID = re.compile(r"[A-Z0-9_-]{11}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Station:
    """A gauge of the public list.

    height_m : of the gauge above the place asked for; None where one of them is unknown.
    first_year, last_year : of its daily rain.
    """

    station: str
    name: str
    latitude: float
    longitude: float
    elevation_m: float | None
    distance_km: float
    height_m: float | None
    first_year: int
    last_year: int

    @property
    def years(self) -> int:
        """Calendar years from the first rain reading to the last."""
        return self.last_year - self.first_year + 1


def fetch(address: str) -> bytes:
    """Bring what stands at an address; NoConnection with the way by file where it cannot."""
    try:
        asked = urllib.request.Request(address, headers={"User-Agent": "eavewell"})
        with urllib.request.urlopen(asked, timeout=LONGEST_S) as answer:
            body: bytes = answer.read()
    except urllib.error.HTTPError as refusal:
        refusal.close()
        why = "nothing of that name is there" if refusal.code == 404 else f"answer {refusal.code}"
        raise NoConnection(f"{address}: {why}. {WAY_BY_FILE}") from None
    except (OSError, http.client.HTTPException, ValueError):
        raise NoConnection(f"{address} could not be reached. {WAY_BY_FILE}") from None
    return body


def nearest_stations(
    latitude: float,
    longitude: float,
    *,
    elevation_m: float | None = None,
    most: int = 10,
    address: str = PUBLIC_ADDRESS,
    fetch: Fetch = fetch,
) -> tuple[Station, ...]:
    """The stations nearest a place that have daily rain, nearest first.

    address : where ghcnd-stations.txt and ghcnd-inventory.txt stand.
    Layouts: ghcn_daily_readme, sections IV and VII.
    """
    if not (abs(latitude) <= 90.0 and abs(longitude) <= 180.0):
        raise BadRecord(
            f"latitude {latitude:g}, longitude {longitude:g} is no place on earth: latitude lies "
            "within 90 degrees, longitude within 180."
        )
    years = dict(_rain_years(_lines(fetch, f"{address}/{INVENTORY}")))
    found = []
    for line in _lines(fetch, f"{address}/{STATIONS}"):
        if line[:11] in years and (place := _coordinates(line)) is not None:
            away_km = great_circle_km(
                latitude, longitude, to_latitude=place[0], to_longitude=place[1]
            )
            found.append((away_km, line, place))
    found.sort(key=lambda item: item[0])
    return tuple(
        _station(line, place, away_km=away_km, years=years[line[:11]], elevation_m=elevation_m)
        for away_km, line, place in found[:most]
    )


def bring_station(
    station: str, folder: str | Path, *, address: str = PUBLIC_ADDRESS, fetch: Fetch = fetch
) -> Path:
    """Bring a station's .dly into a folder, or its csv.gz where there is no .dly; its path.

    A record already there is left as it is and nothing is fetched. The file is read through
    once before it takes its name, so a broken download leaves nothing behind.
    """
    if not STATION_ID.fullmatch(station):
        raise BadRecord(f"{station[:40]!r} is not a station number, such as 'USW00013904'.")
    home = Path(folder)
    places = {
        home / f"{station}.dly": f"{address}/all/{station}.dly",
        home / f"{station}.csv.gz": f"{address}/by_station/{station}.csv.gz",
    }
    for path in places:
        if path.exists():
            return path
    first_fault: EavewellFault | None = None
    for path, source in places.items():
        try:
            raw = fetch(source)
            text_of(raw, source)
        except EavewellFault as fault:
            first_fault = first_fault or fault
            continue
        return _kept(raw, path)
    raise first_fault or NoConnection(WAY_BY_FILE)


def _kept(raw: bytes, path: Path) -> Path:
    beside = path.with_name(f".{path.name}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.write_bytes(raw)
        beside.replace(path)
    except OSError as cause:
        beside.unlink(missing_ok=True)
        raise BadRecord(f"{path} cannot be written ({cause.strerror}).") from None
    return path


def _lines(fetch: Fetch, address: str) -> tuple[str, ...]:
    return text_of(fetch(address), address).lines


def _rain_years(lines: tuple[str, ...]) -> "Iterator[tuple[str, tuple[int, int]]]":
    for line in lines:
        if line[31:35] == "PRCP" and line[36:40].isdigit() and line[41:45].isdigit():
            yield line[:11], (int(line[36:40]), int(line[41:45]))


def _coordinates(line: str) -> "tuple[float, float] | None":
    try:
        return float(line[12:20]), float(line[21:30])
    except ValueError:
        return None


def _station(
    line: str,
    place: "tuple[float, float]",
    *,
    away_km: float,
    years: "tuple[int, int]",
    elevation_m: float | None,
) -> Station:
    try:
        height = float(line[31:37])
    except ValueError:
        height = -999.9
    known = height if height > -900 else None
    above = known - elevation_m if known is not None and elevation_m is not None else None
    return Station(line[:11], line[41:71].strip(), *place, known, away_km, above, *years)
