"""A record made ready for a design: judged, filled, carried to the site, turned into days."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from eavewell.faults import BadRecord, Fault
from eavewell.site.place import Place
from eavewell.site.rain import Rain
from eavewell.site.rain_record import RainRecord
from eavewell.weather.days import Days
from eavewell.weather.evaporation import et0_mm
from eavewell.weather.figures import RainFigures, rain_figures
from eavewell.weather.gaps import extend, fill
from eavewell.weather.quality import Quality, inspect
from eavewell.weather.site_rain import FromSite, at_site, from_site
from eavewell.weather.snow import melt
from eavewell.weather.temperature import temperatures

STATE_UNIT = (
    'Nothing is designed on a doubtful unit: state unit = "in" or unit = "mm" under [rain], and '
    "put the column's heading right where it names the other one."
)


@dataclass(frozen=True, slots=True, eq=False)
class ReadyRain:
    """The rain a design runs on.

    record  : without gaps, as at the site. quality : of the record as it was read.
    figures : of the record as it is used. where : the gauge as seen from the site.
    """

    record: RainRecord
    quality: Quality
    figures: RainFigures
    where: FromSite


@dataclass(frozen=True, slots=True, eq=False)
class ReadyDays:
    """The days of a design and how their evaporation and snow came about, in sentences."""

    days: Days
    says: tuple[str, ...]


def ready_rain(
    record: RainRecord,
    rain: Rain,
    *,
    place: Place,
    neighbour: RainRecord | None = None,
    today: date | None = None,
) -> ReadyRain:
    """Judge a record, fill its gaps, let a longer neighbour extend it, and carry it to the site.

    Raises BadRecord where it cannot be designed on, or where its depths look like another unit
    and `rain` states none.
    """
    quality = inspect(record)
    if quality.unit_slip and not rain.unit:
        raise BadRecord(Fault(f"{quality.unit_slip} {STATE_UNIT}", file=record.name))
    whole = fill(record, neighbour)
    if neighbour is not None:
        whole = fill(extend(whole, neighbour))
    here = at_site(whole, rain, place=place)
    where = from_site(record, rain, place=place)
    return ReadyRain(here, quality, rain_figures(here, today=today), where)


def ready_days(record: RainRecord, place: Place) -> ReadyDays:
    """Rain after snow, temperatures and evaporation of every day of a record without gaps."""
    air, evaporation = temperatures(record), et0_mm(record, place)
    et0 = np.nan_to_num(evaporation.et0_mm)
    if air is None:
        return ReadyDays(Days(record.dates, record.rain_mm, et0), (evaporation.says,))
    snow = melt(record.rain_mm, tmax_c=air.tmax_c, tmin_c=air.tmin_c)
    melted = float(snow.snow_melt_mm.sum()) / max(float(record.rain_mm.sum()), 1e-9)
    has_snow = melted > 0.0
    days = Days(
        dates=record.dates,
        rain_mm=snow.water_mm,
        et0_mm=et0,
        tmax_c=air.tmax_c,
        tmin_c=air.tmin_c,
        snow_melt_mm=snow.snow_melt_mm if has_snow else None,
    )
    snowy = (f"{100 * melted:.1f} % of the precipitation fell as snow and melted later.",)
    return ReadyDays(days, (evaporation.says, *(snowy if has_snow else ())))
