"""A rain record of whatever layout, recognised by what stands in it and never by its name."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from eavewell.files.rain.csv_rows import cells_of
from eavewell.files.rain.ghcn_dly import is_ghcn_dly, read_ghcn_dly
from eavewell.files.rain.ghcn_station_csv import is_ghcn_station_csv, read_ghcn_station_csv
from eavewell.files.rain.hourly_block import is_hourly_block, read_hourly_block
from eavewell.files.rain.noaa_hourly import is_noaa_hourly, read_noaa_hourly
from eavewell.files.rain.noaa_service_csv import is_noaa_service_csv, read_noaa_service_csv
from eavewell.files.rain.noaa_web_csv import is_noaa_web_csv, read_noaa_web_csv
from eavewell.files.rain.plain_csv import read_plain_csv
from eavewell.files.rain.record_text import RecordText, read_text
from eavewell.files.rain.step_csv import is_step_csv, read_step_csv
from eavewell.site.rain_record import RainRecord, StepRain
from eavewell.weather.daily import daily
from eavewell.weather.unit_slip import unit_slip


@dataclass(frozen=True, slots=True)
class Layout:
    """A layout by what tells it from the others; exactly one of daily and steps is set."""

    name: str
    recognised: Callable[[RecordText], bool]
    daily: Callable[[RecordText, str], RainRecord] | None = None
    steps: Callable[[RecordText, str], StepRain] | None = None


# The first that recognises a file reads it; the plain csv comes last and takes what is left.
LAYOUTS = (
    Layout("GHCN-Daily fixed width", is_ghcn_dly, daily=lambda text, _: read_ghcn_dly(text)),
    Layout("hourly fixed width", is_noaa_hourly, steps=lambda text, _: read_noaa_hourly(text)),
    Layout("hourly block", is_hourly_block, steps=lambda text, _: read_hourly_block(text)),
    Layout(
        "GHCN-Daily by station",
        is_ghcn_station_csv,
        daily=lambda text, _: read_ghcn_station_csv(text),
    ),
    Layout("service csv", is_noaa_service_csv, daily=read_noaa_service_csv),
    Layout("web-order csv", is_noaa_web_csv, daily=read_noaa_web_csv),
    Layout("timed csv", is_step_csv, steps=read_step_csv),
    Layout("plain csv", lambda _: True, daily=read_plain_csv),
)


def read_rain(path: str | Path, *, unit: str = "") -> RainRecord:
    """Read a daily record, or the daily sums of an hourly or 5-minute one.

    unit : depth unit of the rain column where the file does not tell, e.g. "mm" or "in".
    Raises BadRecord with a sentence, and a line where there is one, for any other file.
    """
    text = read_text(path)
    layout = _layout(text)
    if layout.daily is not None:
        record = layout.daily(text, unit)
    else:
        record = daily(_steps(layout, text, unit=unit))
    slip = unit_slip(record.rain_mm)
    return replace(record, name=text.stem, notes=(*record.notes, slip) if slip else record.notes)


def read_step_rain(path: str | Path, *, unit: str = "") -> StepRain:
    """Read an hourly or 5-minute record.

    unit : depth unit of the rain column where the file does not tell, e.g. "mm" or "in".
    Raises BadRecord with a sentence for a daily record and for any other file.
    """
    text = read_text(path)
    return replace(_steps(_layout(text), text, unit=unit), name=text.stem)


def _steps(layout: Layout, text: RecordText, *, unit: str) -> StepRain:
    if layout.steps is None:
        raise text.bad(f"This reads as {layout.name}; an hourly or 5-minute record is needed here.")
    return layout.steps(text, unit)


def _layout(text: RecordText) -> Layout:
    _refuse_other_tables(text)
    return next(layout for layout in LAYOUTS if layout.recognised(text))


def _refuse_other_tables(text: RecordText) -> None:
    """Name the files of a station's shelf that are no rain record."""
    second = cells_of(text.lines[1]) if len(text.lines) > 1 else ()
    if second[:2] == ("date (mm/dd/yyyy)", "time (hh:mm)"):
        raise text.bad(
            "This is hourly typical-year weather; its rain column is not a measured record. "
            "Bring in the rain record of a station."
        )
    if text.lines[0].lower().startswith("point precipitation frequency"):
        raise text.bad(
            "This is a table of design storms, not a rain record; give the record of a station."
        )
