"""A rain record looked at: its quality, its dry spells, its months and its years."""

import numpy as np

from eavewell.answers.shown import MONTHS, Sizes, count, days_in_words, listed, spell
from eavewell.report.blocks import GAP, Block, heading, one_line, paragraph, ruled
from eavewell.report.strip import Strip
from eavewell.site.rain_record import RainRecord
from eavewell.weather.figures import RainFigures, rain_figures
from eavewell.weather.quality import Quality, inspect
from eavewell.weather.years import full_years, year_of_day

EXTREMES = 5


def rain_page(record: RainRecord, sizes: Sizes) -> list[Block]:
    """Quality and figures of one record; raises BadRecord where it cannot be designed on."""
    quality, figures = inspect(record), rain_figures(record)
    notes = (*quality.sentences, *record.notes, *figures.sentences)
    return [
        GAP,
        one_line(record.name, style="bold"),
        heading("What was read"),
        *(paragraph(days_in_words(note)) for note in dict.fromkeys(notes)),
        *_windows(figures, sizes),
        *_months(figures, sizes),
        *_years(record, quality, sizes=sizes),
    ]


def _windows(figures: RainFigures, sizes: Sizes) -> list[Block]:
    rows = [
        (
            f"{months} month{'s' if months > 1 else ''}",
            sizes.depth(dry.rain_mm),
            spell(dry.first.isoformat(), dry.last.isoformat()),
            f"{dry.unmeasured_days:,}" if dry.unmeasured_days else "-",
            sizes.depth(figures.wettest[months].rain_mm),
        )
        for months, dry in figures.driest.items()
    ]
    dry_run = figures.longest_dry
    longest = (
        f"Longest run without rain: {count(dry_run.days, 'day')}, "
        f"{spell(dry_run.first.isoformat(), dry_run.last.isoformat())}."
        if dry_run
        else ""
    )
    return [
        heading("Dry and wet spells"),
        paragraph(f"Mean year {sizes.depth(figures.mean_year_mm)}.", longest),
        GAP,
        ruled(("window", "driest", "from, to", "not measured", "wettest"), rows, names=(0, 2)),
    ]


def _months(figures: RainFigures, sizes: Sizes) -> list[Block]:
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
    head = ("month", "mean", "1 in 10 below", "half below", "9 in 10 below", "wet days")
    return [heading("Months"), ruled(head, rows)]


def _years(record: RainRecord, quality: Quality, *, sizes: Sizes) -> list[Block]:
    """A strip of yearly rain, its extremes, and where days are missing."""
    year, every = year_of_day(record), list(quality.missing_by_year)
    totals = {one: float(np.nansum(record.rain_mm[year == one])) for one in every}
    most, first = max(totals.values()), every[0] * 12
    strip = Strip(list(totals.values()), most, first=first, step=12, what="Rain of each year")
    return [
        heading("Years"),
        one_line(f"  Rain of each year, from {every[0]}", style="italic"),
        strip,
        GAP,
        paragraph(*_extremes({one: totals[one] for one in full_years(record)}, sizes)),
        paragraph(*_missing(quality.missing_by_year, sizes)),
    ]


def _extremes(totals: dict[int, float], sizes: Sizes) -> list[str]:
    ranked = sorted(totals, key=totals.__getitem__)
    if not ranked:
        return ["No calendar year is whole."]
    ends = {"Driest": ranked[:EXTREMES], "Wettest": ranked[: -EXTREMES - 1 : -1]}
    return [
        f"{which} whole years: {', '.join(f'{one} {sizes.depth(totals[one])}' for one in years)}."
        for which, years in ends.items()
    ]


def _missing(shares: dict[int, float], sizes: Sizes) -> list[str]:
    """Years without any reading as runs, then those that lack some days."""
    said = []
    if whole := [year for year, share in shares.items() if share == 1.0]:
        firsts = [year for year in whole if year - 1 not in whole]
        lasts = [year for year in whole if year + 1 not in whole]
        runs = [f"{a} to {b}" if b > a else str(a) for a, b in zip(firsts, lasts, strict=True)]
        said.append(f"No reading at all in {listed(runs)}.")
    if some := [f"{y} {sizes.share(share)}" for y, share in shares.items() if 0.0 < share < 1.0]:
        said.append(f"Days without a reading: {', '.join(some)}.")
    return said
