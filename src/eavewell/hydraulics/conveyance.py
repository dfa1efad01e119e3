"""Collection pipes from the downspouts to the stores under a design storm."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Protocol

from eavewell.hydraulics.first_flush_pipe import FlushPipe
from eavewell.hydraulics.horizontal_drains import drain_l_s_manning, manning_n
from eavewell.hydraulics.part_full import normal_depth_share, speed_m_s_part_full
from eavewell.hydraulics.pipe_tree import PipeTree, entry_level_m, fall_of, pipe_tree
from eavewell.hydraulics.roof_area import roof_flow_l_s
from eavewell.hydraulics.wet_main import WetMain, roots, wet_main
from eavewell.site.pipe import PipeRun
from eavewell.site.site import Site
from eavewell.tables import table

_STEEPEST = 0.5


class Rain(Protocol):
    """Rain of one duration and return period."""

    @property
    def mm_h(self) -> float:
        """Its intensity."""


class Storms(Protocol):
    """Design storms of a place."""

    def intensity(self, minutes: float, years: float) -> Rain | None:
        """Rain of a duration and return period; None where unknown."""

    def years_of(self, minutes: float, mm_h: float) -> float | None:
        """How rare a rain is; None where unknown."""


@dataclass(frozen=True, slots=True)
class DryPipe:
    """One dry pipe under the design storm.

    area_m2 : roof it drains, with all that joins it upstream; flow_l_s : at the storm.
    fall    : metres per metre; end_m : level where it lets go. None unknown.
    capacity_l_s : running full at that fall; 0 where it does not fall.
    depth_share  : depth over bore at the storm; None unknown or where it runs over.
    speed_m_s, common_m_s : speed at the design storm and at a common one.
    fails_mm_h   : rain beyond which it runs over; fails_years : how rare that is.
    """

    run: PipeRun
    area_m2: float
    flow_l_s: float | None
    fall: float | None
    end_m: float | None
    capacity_l_s: float | None
    depth_share: float | None
    speed_m_s: float | None
    common_m_s: float | None
    fails_mm_h: float | None
    fails_years: float | None

    @property
    def holds(self) -> bool | None:
        """Whether it carries the storm; None where that is unknown."""
        if self.flow_l_s is None or self.capacity_l_s is None:
            return None
        return self.flow_l_s <= self.capacity_l_s


@dataclass(frozen=True, slots=True)
class DrainDown:
    """A place to empty before frost; level_m is its lowest point, None unknown."""

    thing: str
    level_m: float | None
    volume_l: float
    drain_mm: float | None


@dataclass(frozen=True, slots=True)
class Conveyed:
    """The collection pipes of a site under one storm.

    intensity_mm_h : None where unknown. over_m : head over the overflow of stores, by name.
    drain_down     : what stands full, the lowest first.
    """

    tree: PipeTree
    over_m: Mapping[str, float]
    years: float
    minutes: float
    intensity_mm_h: float | None
    dry: tuple[DryPipe, ...]
    mains: tuple[WetMain, ...]
    flushes: tuple[FlushPipe, ...]
    drain_down: tuple[DrainDown, ...]


def convey(
    site: Site,
    storms: Storms,
    *,
    storm: tuple[float, float],
    areas_m2: Mapping[str, float] | None = None,
    over_m: Mapping[str, float] | None = None,
    flushes: tuple[FlushPipe, ...] = (),
) -> Conveyed:
    """Every collection pipe of a site at a design storm.

    storm    : its duration in minutes and its return period in years.
    areas_m2 : roofs by name as drainage counts them; on plan where left out.
    over_m   : head over the overflow of each store by name while it spills; a starting value
    where left out. flushes : from `flush_pipes`.
    """
    minutes, years = storm
    rain, tree = storms.intensity(minutes, years), pipe_tree(site, areas_m2)
    mm_h = rain.mm_h if rain else None
    dry = (_dry(tree, run, intensity_mm_h=mm_h) for run in tree.runs if not run.held_full)
    mains = [wet_main(tree, root, intensity_mm_h=mm_h, over_m=over_m) for root in roots(tree)]
    return Conveyed(
        tree,
        dict(over_m or {}),
        years=years,
        minutes=minutes,
        intensity_mm_h=mm_h,
        dry=tuple(replace(p, fails_years=_years(storms, minutes, mm_h=p.fails_mm_h)) for p in dry),
        mains=tuple(
            replace(m, spills_years=_years(storms, minutes, mm_h=m.spills_mm_h)) for m in mains
        ),
        flushes=flushes,
        drain_down=tuple(sorted(_drain_down(mains, flushes), key=_lowest_first)),
    )


def dry_capacity_l_s(run: PipeRun, fall: float) -> float:
    """Flow of a dry pipe running full; 0 where it does not fall."""
    if fall <= 0.0:
        return 0.0
    roughness = manning_n(run.pipe.material)
    return drain_l_s_manning(run.pipe.bore_mm, min(fall, _STEEPEST), roughness_n=roughness)


def _dry(tree: PipeTree, run: PipeRun, *, intensity_mm_h: float | None) -> DryPipe:
    fall, area_m2 = fall_of(tree, run), tree.areas_m2[run.name]
    flow = None if intensity_mm_h is None else roof_flow_l_s(area_m2, intensity_mm_h)
    capacity = None if fall is None else dry_capacity_l_s(run, fall)
    inside = flow is not None and capacity is not None and 0.0 < flow <= capacity
    common = roof_flow_l_s(area_m2, table("conveyance")["common storm"].value)
    return DryPipe(
        run,
        area_m2,
        flow_l_s=flow,
        fall=fall,
        end_m=entry_level_m(tree, run),
        capacity_l_s=capacity,
        depth_share=normal_depth_share((flow or 0.0) / (capacity or 1.0)) if inside else None,
        speed_m_s=_speed(run, fall, flow_l_s=flow),
        common_m_s=_speed(run, fall, flow_l_s=common),
        fails_mm_h=None if capacity is None or not area_m2 else capacity * 3600.0 / area_m2,
        fails_years=None,
    )


def _speed(run: PipeRun, fall: float | None, *, flow_l_s: float | None) -> float | None:
    if fall is None or fall <= 0.0 or not flow_l_s:
        return None
    return speed_m_s_part_full(
        flow_l_s,
        bore_mm=run.pipe.bore_mm,
        fall=min(fall, _STEEPEST),
        roughness_n=manning_n(run.pipe.material),
    )


def _years(storms: Storms, minutes: float, *, mm_h: float | None) -> float | None:
    return storms.years_of(minutes, mm_h) if mm_h and mm_h != float("inf") else None


def _drain_down(mains: list[WetMain], flushes: tuple[FlushPipe, ...]) -> Iterator[DrainDown]:
    for main in mains:
        levels = [p.run.low_m for p in main.pipes if p.run.low_m is not None]
        bores = [p.run.drain_mm for p in main.pipes if p.run.drain_mm is not None]
        yield DrainDown(
            f"pipe {main.name!r}",
            min(levels, default=None),
            volume_l=main.stale_l,
            drain_mm=max(bores, default=None),
        )
    for flush in flushes:
        yield DrainDown(f"first flush of roof {flush.roof!r}", None, flush.volume_l, None)


def _lowest_first(point: DrainDown) -> tuple[bool, float]:
    return point.level_m is None, point.level_m or 0.0
