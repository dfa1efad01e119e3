"""What the system must show at its first trial: the expected figure of each test."""

from collections.abc import Iterator
from typing import Any

from eavewell.hydraulics.gravity import GravityLine
from eavewell.hydraulics.service import PumpedLine
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import table

Plain = dict[str, Any]


def trial_answer(
    site: Site, gravity: tuple[GravityLine, ...], *, served: tuple[PumpedLine, ...]
) -> Plain:
    """Seconds to fill a bucket, leak-down of tanks, heads of the pipe tests."""
    figures = table("commissioning_figures")
    bucket_l = figures[f"bucket {site.place.show}"].value
    return {
        "bucket_l": bucket_l,
        "outlets": [*_by_gravity(gravity, bucket_l), *_by_pump(served, bucket_l)],
        "tanks": [_leak(tank) for tank in site.tanks],
        "lines": [_tested(run) for run in served],
        "drain_test_m": figures["drain test head"].value,
        "drain_test_min": figures["drain test minutes"].value,
    }


def _by_gravity(lines: tuple[GravityLine, ...], bucket_l: float) -> Iterator[Plain]:
    for line in lines:
        for run in line.outlets:
            full_l_s, _, low_l_s = run.flow_l_s
            told = (line.line.name, run.outlet.name, run.outlet.count)
            yield _outlet(told, bucket_l, quick_l_s=full_l_s, slow_l_s=low_l_s)


def _by_pump(lines: tuple[PumpedLine, ...], bucket_l: float) -> Iterator[Plain]:
    for line in lines:
        for run in line.outlets:
            told = (line.line.name, run.outlet.name, run.outlet.count)
            yield _outlet(told, bucket_l, quick_l_s=run.most_l_s, slow_l_s=run.least_l_s)


def _outlet(
    told: tuple[str, str, int], bucket_l: float, *, quick_l_s: float, slow_l_s: float
) -> Plain:
    line, name, count = told
    return {
        "line": line,
        "name": name,
        "count": count,
        "quick_s": bucket_l / quick_l_s if quick_l_s > 0.0 else None,
        "slow_s": bucket_l / slow_l_s if slow_l_s > 0.0 else None,
    }


def _leak(tank: Tank) -> Plain:
    """The drop that may be read at rest, and the water it stands for just below the overflow."""
    figures = table("commissioning_figures")
    drop_m = figures["leak drop"].value / 1000.0
    lost_l = None
    if tank.shape:
        top_m = tank.shape.height_m if tank.overflow_m is None else tank.overflow_m
        lost_l = tank.shape.volume_l(top_m) - tank.shape.volume_l(top_m - drop_m)
    return {
        "name": tank.name,
        "leak_hours": figures["leak hours"].value,
        "leak_mm": figures["leak drop"].value,
        "leak_l": lost_l,
    }


def _tested(run: PumpedLine) -> Plain:
    figures = table("commissioning_figures")
    works_m = run.line.cut_out_m
    least_m = figures["line test head"].value
    return {
        "name": run.line.name,
        "test_m": max(least_m, works_m) if works_m is not None else least_m,
        "test_min": figures["line test minutes"].value,
    }
