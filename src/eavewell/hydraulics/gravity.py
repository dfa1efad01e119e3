"""Everything that stands on the gravity lines of a site."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from eavewell.hydraulics.drip import HIGHEST_STAND_M, LateralRun, least, run_lateral
from eavewell.hydraulics.line_network import (
    Needs,
    WaterLevels,
    line_network,
    needs_of,
    unknown_levels,
    water_levels,
)
from eavewell.hydraulics.network import solve
from eavewell.hydraulics.troughs import TroughRun, run_trough, way_of
from eavewell.site.line import Line
from eavewell.site.outlet import Outlet
from eavewell.site.site import Site
from eavewell.storage.series import Series, uses_in_order

BUCKET_L = 5.0 * 3.785411784


@dataclass(frozen=True, slots=True)
class OutletRun:
    """One outlet alone on its line with the tank full, half full, and low with dirty filters.

    static_m : head without flow. flow_l_s : open. bucket_min : five US gallons with the tank low;
    None where none flows. lower_m : how much lower it must stand to give what it needs with the
    tank low; 0 where it does, None where no lowering helps.
    """

    outlet: Outlet
    needs: Needs
    static_m: tuple[float, float, float]
    flow_l_s: tuple[float, float, float]
    bucket_min: float | None
    lower_m: float | None


@dataclass(frozen=True, slots=True)
class GravityLine:
    """A line without a pump.

    levels  : of the water in its tank; None where unknown, then nothing else is worked out.
    unknown : what is not known, in words.
    """

    line: Line
    levels: WaterLevels | None
    outlets: tuple[OutletRun, ...]
    laterals: tuple[LateralRun, ...]
    troughs: tuple[TroughRun, ...]
    unknown: tuple[str, ...]


def peak_l_day(site: Site, water: Series) -> dict[str, float]:
    """What each use wants on its peak day of the record."""
    peaks = water.demand_l.max(axis=0, initial=0.0)
    return {use.name: float(one) for use, one in zip(uses_in_order(site), peaks, strict=True)}


def on_peak_day(site: Site, water: Series) -> tuple[tuple[Line, dict[str, Any]], ...]:
    """Every gravity line with what `run_line` asks of the site and the peak day of its record."""
    evaporation_mm_day = float(water.open_loss_mm.max(initial=0.0))
    return _asked(site, peak_l_day(site, water), evaporation_mm_day=evaporation_mm_day)


def gravity_lines(
    site: Site, *, peak_l_day: Mapping[str, float], evaporation_mm_day: float = 0.0
) -> tuple[GravityLine, ...]:
    """Run every outlet, lateral and trough of every line without a pump, each alone.

    peak_l_day : use name -> what it wants on its peak day. evaporation_mm_day : of open water then.
    """
    asked = _asked(site, peak_l_day, evaporation_mm_day=evaporation_mm_day)
    return tuple(run_line(line, **one) for line, one in asked)


def _asked(
    site: Site, peak_l_day: Mapping[str, float], *, evaporation_mm_day: float
) -> tuple[tuple[Line, dict[str, Any]], ...]:
    tank_l = {tank.name: tank.usable_l for tank in site.tanks}
    return tuple(
        (
            line,
            {
                "levels": water_levels(site, line),
                "tank_l": tank_l.get(line.source, 0.0),
                "herds_l_day": {
                    one.waters: peak_l_day[one.waters]
                    for one in line.troughs
                    if one.waters in peak_l_day
                },
                "evaporation_mm_day": evaporation_mm_day if line.troughs else 0.0,
            },
        )
        for line in site.lines
        if line.pump is None
    )


def run_line(
    line: Line,
    *,
    levels: WaterLevels | None,
    tank_l: float,
    herds_l_day: Mapping[str, float],
    evaporation_mm_day: float,
) -> GravityLine:
    """One line without a pump; levels and tank_l are its tank's, herds_l_day of its troughs."""
    missing = unknown_levels(line)
    unknown = (*_unknown(line), *(() if levels else (f"levels of tank {line.source!r}",)))
    if levels is None:
        return GravityLine(line, None, (), (), (), unknown)
    return GravityLine(
        line,
        levels,
        tuple(_outlets(line, levels, missing=missing)),
        tuple(
            run_lateral(line, one, levels=levels)
            for one in line.laterals
            if one.name not in missing
        ),
        tuple(
            run_trough(
                line,
                one,
                levels=levels,
                tank_l=tank_l,
                animals_l_day=herds_l_day.get(one.waters),
                evaporation_mm_day=evaporation_mm_day,
            )
            for one in line.troughs
            if one.name not in missing and one.valve_l_s is not None and one.valve_m is not None
        ),
        unknown,
    )


def _unknown(line: Line) -> Iterator[str]:
    for name in unknown_levels(line):
        yield f"level of {name!r}"
    for trough in line.troughs:
        if trough.valve_l_s is None or trough.valve_m is None:
            yield f"flow of the valve of {trough.name!r}"
        if not trough.waters:
            yield f"who drinks at {trough.name!r}"
        elif trough.walk_m is None:
            yield f"how far those walk who drink at {trough.name!r}"
        if way_of(trough) == "herd" and trough.edge_m is None:
            yield f"edge of {trough.name!r}"
    for lateral in line.laterals:
        if lateral.plant_l_day is None:
            yield f"peak day's water of a plant on {lateral.name!r}"


def _outlets(line: Line, levels: WaterLevels, *, missing: tuple[str, ...]) -> Iterator[OutletRun]:
    waters = (levels.full_m, levels.half_m, levels.low_m)
    for outlet in line.outlets:
        if outlet.name in missing or outlet.level_m is None:
            continue
        full, half = (_alone_l_s(line, outlet, water_m=water_m) for water_m in waters[:2])
        low = _alone_l_s(line, outlet, water_m=levels.low_m, dirty=True)
        static = tuple(water_m - outlet.level_m for water_m in waters)
        yield OutletRun(
            outlet,
            needs_of(outlet),
            static_m=(static[0], static[1], static[2]),
            flow_l_s=(full, half, low),
            bucket_min=BUCKET_L / low / 60.0 if low > 0.0 else None,
            lower_m=_lower_m(line, outlet, water_m=levels.low_m),
        )


def _alone_l_s(line: Line, outlet: Outlet, *, water_m: float, dirty: bool = False) -> float:
    net = line_network(line, water_m, running={outlet.name}, dirty=dirty)
    return solve(net).outlet_l_s[outlet.name]


def _lower_m(line: Line, outlet: Outlet, *, water_m: float) -> float | None:
    """Lowering an outlet and raising the tank are one to the net: the water is moved."""
    needed = needs_of(outlet).flow_l_s * outlet.count

    def gives(lower_m: float) -> bool:
        return _alone_l_s(line, outlet, water_m=water_m + lower_m, dirty=True) >= needed

    if gives(0.0):
        return 0.0
    return least(gives, HIGHEST_STAND_M)
