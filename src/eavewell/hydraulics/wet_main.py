"""Pipes held full: all branches on one main solved together, and the opening that spills first.

The water in every riser stands as high as the tank's, plus what the flow loses on its way; where
that is above the lowest opening of a branch, the branch spills.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from eavewell.hydraulics.first_flush_pipe import litres_per_m
from eavewell.hydraulics.friction import pipe_loss_m, speed_m_s, velocity_head_m
from eavewell.hydraulics.pipe_tree import PipeTree, entry_level_m, spilling_level_m
from eavewell.hydraulics.roof_area import roof_flow_l_s
from eavewell.site.pipe import PipeRun
from eavewell.tables import table


@dataclass(frozen=True, slots=True)
class WetPipe:
    """One run of a main under the design storm.

    opening_m : lowest opening at its upper end; None unknown, or where nothing opens there.
    opens     : whether roof water comes in at its upper end.
    flow_l_s, loss_m, water_m : at the storm: flow, head lost in this run, level of the water at
                its upper end. spare_m : that the opening stands above the water. None unknown.
    holds_l   : volume that stands in it.
    """

    run: PipeRun
    area_m2: float
    opening_m: float | None
    opens: bool
    flow_l_s: float | None
    speed_m_s: float | None
    loss_m: float | None
    water_m: float | None
    spare_m: float | None
    holds_l: float


@dataclass(frozen=True, slots=True)
class WetMain:
    """A wet pipe with every wet pipe that joins it.

    outlet_m  : highest level in the tank's riser while the tank spills; None unknown.
    first     : name of the branch that spills first; "" where none is known.
    spare_m   : its head in hand at the storm. spills_mm_h : rain from which on it spills.
    stale_l   : water that stands in the main; small_storm_l : that a small storm brings.
    """

    name: str
    pipes: tuple[WetPipe, ...]
    outlet_m: float | None
    first: str
    spare_m: float | None
    spills_mm_h: float | None
    spills_years: float | None
    stale_l: float
    small_storm_l: float

    @property
    def stale_share(self) -> float | None:
        """Standing water over what a small storm brings; None without a roof."""
        return self.stale_l / self.small_storm_l if self.small_storm_l > 0.0 else None

    @property
    def holds(self) -> bool | None:
        """Whether no branch spills at the storm; None where one is unknown."""
        if self.spare_m is None:
            return None
        if self.spare_m < 0.0:
            return False
        return None if any(pipe.opens and pipe.spare_m is None for pipe in self.pipes) else True


def roots(tree: PipeTree) -> tuple[PipeRun, ...]:
    """The last wet run of each main."""
    return tuple(
        run
        for run in tree.runs
        if run.held_full and ((below := tree.below(run)) is None or not below.held_full)
    )


def wet_main(
    tree: PipeTree,
    root: PipeRun,
    *,
    intensity_mm_h: float | None,
    over_m: Mapping[str, float] | None = None,
) -> WetMain:
    """A main under a rain.

    root   : its last run. over_m : head over the overflow of each store by name while it spills;
    a starting value where left out.
    """
    runs, outlet_m = _joined(tree, root), outlet_level_m(tree, root, over_m=over_m)
    pipes = tuple(
        _pipe(tree, run, outlet_m=outlet_m, intensity_mm_h=intensity_mm_h) for run in runs
    )
    spills = {
        run.name: (spills_from_mm_h(tree, run, outlet_m=outlet_m), level_m)
        for run in runs
        if outlet_m is not None and (level_m := opening_m(tree, run)) is not None
    }
    first = min(spills, key=spills.__getitem__, default="")
    small_mm = table("conveyance")["small storm"].value
    return WetMain(
        root.name,
        pipes,
        outlet_m=outlet_m,
        first=first,
        spare_m=min((p.spare_m for p in pipes if p.spare_m is not None), default=None),
        spills_mm_h=spills[first][0] if first else None,
        spills_years=None,
        stale_l=sum(pipe.holds_l for pipe in pipes),
        small_storm_l=tree.plans_m2[root.name] * small_mm,
    )


def outlet_level_m(
    tree: PipeTree, root: PipeRun, *, over_m: Mapping[str, float] | None = None
) -> float | None:
    """Highest level that a main must push its water to: its end, or the water of a tank spilling.

    None where neither is known.
    """
    tank, end_m = tree.tank(root), entry_level_m(tree, root)
    if tank is None:
        return end_m
    usual_m = table("conveyance")["head over overflow"].value
    water_m = spilling_level_m(tank, (over_m or {}).get(tank.name, usual_m))
    return max((level for level in (end_m, water_m) if level is not None), default=None)


def opening_m(tree: PipeTree, run: PipeRun) -> float | None:
    """Lowest opening at a wet run's upper end; None where unknown or where nothing opens."""
    if run.opening_m is not None:
        return run.opening_m
    eaves = [roof.eave_m for one in _dry_into(tree, run) for roof in tree.own[one.name]]
    stated = [one.opening_m for one in _dry_into(tree, run)[1:] if one.opening_m is not None]
    known = [level for level in eaves if level is not None]
    return min((*known, *stated), default=None) if len(known) == len(eaves) else None


def needed_m(tree: PipeTree, run: PipeRun, *, intensity_mm_h: float) -> float:
    """Head from a wet run's upper end to the tank: every shared pipe by its whole flow, and exit.

    The speed that is left at the exit is lost, unless the last pipe lists an exit as a fitting.
    """
    way = [one for one in tree.down_from(run) if one.held_full]
    flows = [roof_flow_l_s(tree.areas_m2[one.name], intensity_mm_h) for one in way]
    lost = sum(pipe_loss_m(flow, one.pipe) for flow, one in zip(flows, way, strict=True))
    if "exit" in dict(way[-1].pipe.fittings):
        return lost
    return lost + velocity_head_m(flows[-1], way[-1].pipe.bore_mm)


def spills_from_mm_h(tree: PipeTree, run: PipeRun, *, outlet_m: float) -> float:
    """Rain from which on a branch spills, by halving; 0 where it spills in any rain.

    Infinite where no roof drains to the branch's way.
    """
    head_m = (opening_m(tree, run) or 0.0) - outlet_m
    if head_m <= 0.0:
        return 0.0
    if tree.areas_m2[run.name] <= 0.0:
        return float("inf")
    low, high = 0.0, 1.0
    while needed_m(tree, run, intensity_mm_h=high) < head_m:
        low, high = high, 2.0 * high
    for _ in range(50):
        middle = (low + high) / 2.0
        enough = needed_m(tree, run, intensity_mm_h=middle) <= head_m
        low, high = (middle, high) if enough else (low, middle)
    return low


def _joined(tree: PipeTree, root: PipeRun) -> tuple[PipeRun, ...]:
    """The wet runs of a main, its last first."""
    near = (one for one in tree.above(root) if one.held_full)
    return (root, *(far for one in near for far in _joined(tree, one)))


def _dry_into(tree: PipeTree, run: PipeRun) -> tuple[PipeRun, ...]:
    """A run and the dry pipes that drain into it."""
    near = (one for one in tree.above(run) if not one.held_full)
    return (run, *(far for one in near for far in _dry_into(tree, one)))


def _pipe(
    tree: PipeTree, run: PipeRun, *, outlet_m: float | None, intensity_mm_h: float | None
) -> WetPipe:
    opening, area_m2 = opening_m(tree, run), tree.areas_m2[run.name]
    flow = None if intensity_mm_h is None else roof_flow_l_s(area_m2, intensity_mm_h)
    water = None
    if outlet_m is not None and intensity_mm_h is not None:
        water = outlet_m + needed_m(tree, run, intensity_mm_h=intensity_mm_h)
    return WetPipe(
        run,
        area_m2,
        opening_m=opening,
        opens=any(tree.own[one.name] for one in _dry_into(tree, run)) or run.opening_m is not None,
        flow_l_s=flow,
        speed_m_s=None if flow is None else speed_m_s(flow, run.pipe.bore_mm),
        loss_m=None if flow is None else pipe_loss_m(flow, run.pipe),
        water_m=water,
        spare_m=None if water is None or opening is None else opening - water,
        holds_l=litres_per_m(run.pipe.bore_mm) * run.pipe.length_m,
    )
