"""A rain record looked at: its quality, its dry spells, its months and its years."""

import numpy as np
from rich.console import Group, RenderableType
from rich.text import Text

from eavewell.site.rain_record import RainRecord
from eavewell.terminal.page import heading, paragraph, ruled
from eavewell.terminal.sizes import MONTHS, Sizes, count, day
from eavewell.weather.figures import RainFigures, rain_figures
from eavewell.weather.quality import Quality, inspect
from eavewell.weather.years import year_of_day

BAR_COLUMNS = 30


def rain_page(record: RainRecord, sizes: Sizes) -> RenderableType:
    """Quality and figures of one record; raises BadRecord where it cannot be designed on."""
    quality, figures = inspect(record), rain_figures(record)
    return Group(
        Text(""),
        Text(record.name, style="bold"),
        heading("What was read"),
        *(paragraph(note) for note in dict.fromkeys((*quality.sentences, *record.notes))),
        *(paragraph(sentence) for sentence in figures.sentences),
        *_windows(figures, sizes),
        *_months(figures, sizes),
        *_years(record, quality, sizes=sizes),
    )


def _windows(figures: RainFigures, sizes: Sizes) -> list[RenderableType]:
    rows = [
        (
            f"{months} month{'s' if months > 1 else ''}",
            sizes.depth(dry.rain_mm),
            f"{day(dry.first.isoformat())} to {day(dry.last.isoformat())}",
            f"{dry.unmeasured_days:,}" if dry.unmeasured_days else "",
            sizes.depth(figures.wettest[months].rain_mm),
        )
        for months, dry in figures.driest.items()
    ]
    dry_run = figures.longest_dry
    longest = (
        f"Longest run without rain: {count(dry_run.days, 'day')}, "
        f"{day(dry_run.first.isoformat())} to {day(dry_run.last.isoformat())}."
        if dry_run
        else ""
    )
    return [
        heading("Dry and wet spells"),
        paragraph(f"Mean year {sizes.depth(figures.mean_year_mm)}.", longest),
        ruled(("window", "driest", "when", "not measured", "wettest"), rows),
    ]


def _months(figures: RainFigures, sizes: Sizes) -> list[RenderableType]:
    rows = [
        (
            MONTHS[month.month - 1],
            sizes.depth(month.mean_mm),
            sizes.depth(month.tenth_mm),
            sizes.depth(month.middle_mm),
            sizes.depth(month.ninetieth_mm),
            sizes.share(month.wet_day_share),
        )
        for month in figures.months
    ]
    head = ("month", "mean", "10 % below", "half below", "90 % below", "wet days")
    return [heading("Months"), ruled(head, rows)]


def _years(record: RainRecord, quality: Quality, *, sizes: Sizes) -> list[RenderableType]:
    year = year_of_day(record)
    rows = []
    for one, missing in quality.missing_by_year.items():
        rain_mm = record.rain_mm[year == one]
        total = float(np.nansum(rain_mm))
        rows.append((str(one), total, missing))
    most = max(total for _, total, _ in rows) or 1.0
    return [
        heading("Years"),
        ruled(
            ("year", "", "rain", "missing"),
            [
                (
                    year,
                    _bar(total / most),
                    sizes.depth(total),
                    sizes.share(missing) if missing else "",
                )
                for year, total, missing in rows
            ],
            left=2,
        ),
    ]


def _bar(share: float) -> str:
    return "=" * round(BAR_COLUMNS * share)
