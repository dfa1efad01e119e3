"""Which pipes join which, and the roof that each one drains."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from eavewell.hydraulics.levels import above_floor_m, overflow_level_m
from eavewell.site.pipe import PipeRun
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.site.tank import Tank


@dataclass(frozen=True, slots=True)
class PipeTree:
    """The collection pipes of a site that can be reckoned with, and what each carries.

    own      : roofs that enter each run at its own upper end, not from a pipe above it.
    areas_m2 : roof that each run drains, with all that joins it upstream.
    plans_m2 : the same on plan, as it catches.
    unsound  : runs without length, or running in a circle.
    """

    site: Site
    runs: tuple[PipeRun, ...]
    own: Mapping[str, tuple[Roof, ...]]
    areas_m2: Mapping[str, float]
    plans_m2: Mapping[str, float]
    unsound: tuple[PipeRun, ...]

    def above(self, run: PipeRun) -> tuple[PipeRun, ...]:
        """Runs that join a run directly."""
        return tuple(one for one in self.runs if one.to == run.name)

    def below(self, run: PipeRun) -> PipeRun | None:
        """The run that a run joins; None where it enters a store."""
        return next((one for one in self.runs if one.name == run.to), None)

    def all_above(self, run: PipeRun) -> tuple[PipeRun, ...]:
        """Every run whose water comes through a run, itself first."""
        return (run, *(far for near in self.above(run) for far in self.all_above(near)))

    def down_from(self, run: PipeRun) -> Iterator[PipeRun]:
        """A run and those its water passes through, in order of flow."""
        at: PipeRun | None = run
        while at is not None:
            yield at
            at = self.below(at)

    def tank(self, run: PipeRun) -> Tank | None:
        """The store that a run enters; None where it joins another run."""
        return next((tank for tank in self.site.tanks if tank.name == run.to), None)


def pipe_tree(site: Site, areas_m2: Mapping[str, float] | None = None) -> PipeTree:
    """Join the pipes of a site.

    areas_m2 : roof areas by name as drainage counts them; the plan area where left out. A roof
    that enters several runs shares its water equally between them.
    """
    unsound = tuple(run for run in site.runs if run.pipe.length_m <= 0.0 or _circles(site, run))
    sound = tuple(run for run in site.runs if run not in unsound)
    plain = PipeTree(site, sound, own={}, areas_m2={}, plans_m2={}, unsound=unsound)
    own = {run.name: _own(plain, run) for run in sound}
    plan = {roof.name: roof.plan_area_m2 for roof in site.roofs}
    counted = plan | dict(areas_m2 or {})
    return PipeTree(
        site,
        sound,
        own=own,
        areas_m2={run.name: _area_m2(plain, run, own=own, of_roof=counted) for run in sound},
        plans_m2={run.name: _area_m2(plain, run, own=own, of_roof=plan) for run in sound},
        unsound=unsound,
    )


def entry_level_m(tree: PipeTree, run: PipeRun) -> float | None:
    """Level where a run lets its water go: as stated, else the inlet or the start of the next."""
    if run.to_m is not None:
        return run.to_m
    tank, below = tree.tank(run), tree.below(run)
    if tank is not None:
        return above_floor_m(tank, tank.fittings.inlet_m)
    return below.from_m if below is not None and not below.held_full else None


def fall_of(tree: PipeTree, run: PipeRun) -> float | None:
    """Fall of a dry pipe: as stated, else by its levels; None where neither is known."""
    if run.fall is not None:
        return run.fall
    end_m = entry_level_m(tree, run)
    if run.from_m is None or end_m is None:
        return None
    return (run.from_m - end_m) / run.pipe.length_m


def spilling_level_m(tank: Tank, head_m: float) -> float | None:
    """Level of the water in a tank while it spills; None where its overflow is unknown."""
    level_m = overflow_level_m(tank)
    return None if level_m is None else level_m + head_m


def _circles(site: Site, run: PipeRun) -> bool:
    by_name, seen = {one.name: one for one in site.runs}, {run.name}
    while (run_to := by_name.get(run.to)) is not None:
        if run_to.name in seen:
            return True
        seen.add(run_to.name)
        run = run_to
    return False


def _own(tree: PipeTree, run: PipeRun) -> tuple[Roof, ...]:
    upstream = {name for one in tree.all_above(run)[1:] for name in one.carries}
    names = set(run.carries) - upstream
    return tuple(roof for roof in tree.site.roofs if roof.name in names)


def _area_m2(
    tree: PipeTree,
    run: PipeRun,
    *,
    own: Mapping[str, tuple[Roof, ...]],
    of_roof: Mapping[str, float],
) -> float:
    ways = [roof.name for roofs in own.values() for roof in roofs]
    return sum(
        of_roof[roof.name] / ways.count(roof.name)
        for one in tree.all_above(run)
        for roof in own[one.name]
    )
