"""Whether the rain can be trusted at this site."""

from collections.abc import Iterator

import numpy as np

from eavewell.design import Design
from eavewell.site.finding import COMMON, Finding
from eavewell.site.rain_record import Mark
from eavewell.tables import table
from eavewell.units import show
from eavewell.weather.counted import counted
from eavewell.weather.quality import Quality
from eavewell.weather.ready import ReadyRain


def rain_trusted(design: Design) -> Iterator[Finding]:
    """Checks on the record: invented, far, short, old, in a dry spell, gappy, in a wrong unit."""
    if design.rain.record.invented:
        yield Finding(
            "rain-invented",
            "stop",
            "rain",
            f"{design.rain.record.name}: for trying things out, never for building.",
            fix='name a measured record: record = "FILE" or station = "NUMBER"',
        )
        return
    yield from _as_at_the_gauge(design)
    yield from _length(design)
    yield from _quality(design)


def _as_at_the_gauge(design: Design) -> Iterator[Finding]:
    where, rain = design.rain.where, design.site.rain
    if rain.at_site or rain.site_factor is not None:
        return
    limits, system = table("rain_limits"), design.site.place.show
    far, high = limits["far_station"].value, limits["far_height"].value
    if where.is_far:
        by_distance = (where.distance_km or 0.0) > far
        yield Finding(
            "rain-far",
            "fix",
            "rain",
            "The gauge is too far from the site, or too much lower or higher, to stand for it.",
            measured=where.distance_km if by_distance else abs(where.height_m or 0.0),
            limit=far if by_distance else high,
            unit="km" if by_distance else "m",
            source=COMMON,
            fix="give site_factor from two long-term normals, or take a nearer record",
        )
    elif where.distance_km is None or where.height_m is None:
        limit = f"{show(far, 'distance', system=system)} and {show(high, 'length', system=system)}"
        yield Finding(
            "rain-place-unknown",
            "watch",
            "rain",
            f"Not checked whether the gauge lies within {limit} of the site: "
            "its distance or height is unknown.",
            source=COMMON,
            fix="give distance and height under [rain], or site_factor",
        )


def _length(design: Design) -> Iterator[Finding]:
    figures, years = design.rain.figures, design.rain.record.days / 365.25
    least = table("rain_limits")["short_record"].value
    if figures.is_short:
        yield Finding(
            "rain-short",
            "watch",
            "rain",
            f"The record has {years:.0f} years: it may miss the drought that decides.",
            measured=years,
            limit=least,
            unit="years",
            source=COMMON,
            fix='let a longer neighbour record extend it: neighbour = "FILE"',
        )
    for code, is_so, says in (
        ("rain-old", figures.ends_long_ago, "The record ends more than 12 months ago."),
        ("rain-starts-dry", figures.starts_in_dry_spell, "The record starts inside a dry spell."),
        ("rain-ends-dry", figures.ends_in_dry_spell, "The record ends inside a dry spell."),
    ):
        if is_so:
            yield Finding(code, "note", "rain", says, source=COMMON)


def _quality(design: Design) -> Iterator[Finding]:
    quality = design.rain.quality
    most = table("rain_limits")["many_missing"].value
    if quality.unit_slip:
        yield Finding(
            "rain-unit", "fix", "rain", quality.unit_slip, fix="look up the record's unit"
        )
    yield from _hole(design.rain)
    yield from _doubled(quality)
    if quality.missing_share > most:
        yield Finding(
            "rain-gaps",
            "watch",
            "rain",
            f"{100 * quality.missing_share:.1f} % of the days had no reading and were filled.",
            measured=quality.missing_share,
            limit=most,
            unit="share",
            source=COMMON,
            fix="name a neighbour record to fill from, or take another station",
        )


def _hole(rain: ReadyRain) -> Iterator[Finding]:
    """A long gap that no neighbour filled."""
    longest, quality = table("rain_limits")["long_gap"].value, rain.quality
    if quality.gap_from is None or quality.gap_to is None:
        return
    first, last = ((day - rain.record.first_day).days for day in (quality.gap_from, quality.gap_to))
    filled = np.count_nonzero(rain.record.marks[first : last + 1] & np.uint16(Mark.FILLED_SEASON))
    if filled > longest:
        yield Finding(
            "rain-hole",
            "fix",
            "rain",
            f"From {quality.gap_from} to {quality.gap_to} nothing was measured; the days were "
            "filled from other years of the same record, so a drought may be counted twice.",
            measured=quality.longest_gap_days,
            limit=longest,
            unit="days",
            source=COMMON,
            fix='name a neighbour record, neighbour = "FILE", or take a station without the hole',
        )


def _doubled(quality: Quality) -> Iterator[Finding]:
    if quality.doubled_days:
        yield Finding(
            "rain-doubled",
            "watch",
            "rain",
            f"Twice in the record with different readings: {counted(quality.doubled_days, 'day')}, "
            "taken as missing and filled.",
            measured=quality.doubled_days,
            limit=0.0,
            unit="days",
            source=COMMON,
            fix="keep one reading a day in the file",
        )
