"""The first flushes of a site against its own record."""

from eavewell.catchment.runoff import roof_water
from eavewell.hydraulics.first_flush_pipe import (
    FlushLoss,
    FlushPipe,
    flush_loss,
    flush_pipes,
    usual_gap_days,
)
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.weather.days import Days


def first_flushes(site: Site, days: Days) -> tuple[FlushPipe, ...]:
    """Every first flush of a site: its standpipe, its drain, and what it takes of the record."""
    losses = {roof.name: _loss(roof, days) for roof in site.roofs if roof.first_flush is not None}
    return flush_pipes(site, gap_days=usual_gap_days(days.rain_mm), losses=losses)


def _loss(roof: Roof, days: Days) -> FlushLoss:
    months = days.dates.astype("datetime64[M]").astype(int) % 12 + 1
    water = roof_water(roof, days.rain_mm, melt_mm=days.snow_melt_mm, months=months)
    return flush_loss(roof, water.first_flush_mm + water.runoff_mm)
