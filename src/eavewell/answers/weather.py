"""The rain and the roofs of a design as plain data."""

from typing import Any

import numpy as np

from eavewell.catchment.runoff import runoff_share
from eavewell.design import Design
from eavewell.site.rain_record import Mark
from eavewell.site.roof import Roof
from eavewell.storage.series import drained_roofs
from eavewell.weather.figures import RainFigures, Spell

_ADDED = int(Mark.FILLED_NEIGHBOUR | Mark.FILLED_SEASON | Mark.EXTENDED)

Plain = dict[str, Any]


def rain(design: Design) -> Plain:
    """The record, its windows, its months and what was noticed."""
    ready = design.rain
    record, figures = ready.record, ready.figures
    return {
        "name": record.name,
        "station": record.station,
        "invented": record.invented,
        "from": record.first_day.isoformat(),
        "to": record.last_day.isoformat(),
        "days": record.days,
        "missing_share": ready.quality.missing_share,
        "filled_days": int(np.count_nonzero(record.marks & _ADDED)),
        "mean_year_mm": _number(figures.mean_year_mm),
        "driest_365_mm": figures.driest[12].rain_mm if 12 in figures.driest else None,
        "longest_dry_days": figures.longest_dry.days if figures.longest_dry else 0,
        "distance_km": ready.where.distance_km,
        "height_m": ready.where.height_m,
        **_windows(figures),
        "notes": list(dict.fromkeys((*ready.quality.sentences, *record.notes, *figures.sentences))),
    }


def _windows(figures: RainFigures) -> Plain:
    return {
        "driest": [_spell(spell) for spell in figures.driest.values()],
        "wettest": [_spell(spell) for spell in figures.wettest.values()],
        "months": [
            {
                "month": month.month,
                "mean_mm": _number(month.mean_mm),
                "tenth_mm": _number(month.tenth_mm),
                "middle_mm": _number(month.middle_mm),
                "ninetieth_mm": _number(month.ninetieth_mm),
                "wet_day_share": _number(month.wet_day_share),
            }
            for month in figures.months
        ],
    }


def _spell(spell: Spell) -> Plain:
    return {
        "days": spell.days,
        "from": spell.first.isoformat(),
        "to": spell.last.isoformat(),
        "rain_mm": spell.rain_mm,
        "filled_days": spell.unmeasured_days,
    }


def roofs(design: Design) -> list[Plain]:
    """Each roof and what it yields."""
    # as it leaves the roof, before a sump's lift leaves some of it behind
    depths_mm = design.water.runoff_mm.sum(axis=0) / (design.water.days / 365.25)
    yearly = {
        roof.name: float(depth_mm) * roof.plan_area_m2
        for roof, depth_mm in zip(drained_roofs(design.site), depths_mm, strict=True)
    }
    return [
        {
            "name": roof.name,
            "plan_area_m2": roof.plan_area_m2,
            "finish": roof.finish,
            "drains_to": roof.drains_to,
            "runoff_coefficient": runoff_share(roof).value,
            "runoff_coefficient_range": [
                runoff_share(roof).low,
                runoff_share(roof).high,
            ],
            "mean_year_l": float(yearly.get(roof.name, 0.0)),
            "net_share": _net(
                roof, yearly.get(roof.name), rain_mm=design.rain.figures.mean_year_mm
            ),
        }
        for roof in design.site.roofs
    ]


def _net(roof: Roof, litres: float | None, *, rain_mm: float) -> float | None:
    """Of the rain of the mean year on the roof; None where it is not caught or no year is whole."""
    rained = roof.plan_area_m2 * rain_mm
    return float(litres / rained) if litres is not None and rained > 0.0 else None


def _number(value: float) -> float | None:
    return None if np.isnan(value) else float(value)
