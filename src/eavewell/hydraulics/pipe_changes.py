"""The smallest change that lets a collection pipe carry its storm: bore, fall or level."""

from dataclasses import dataclass, replace

from eavewell.hydraulics.conveyance import DryPipe, dry_capacity_l_s
from eavewell.hydraulics.horizontal_drains import manning_n
from eavewell.hydraulics.part_full import fall_for_flow, fall_for_speed
from eavewell.hydraulics.pipe_tree import PipeTree, entry_level_m, spilling_level_m
from eavewell.hydraulics.standard_sizes import FAMILIES, standard_bores
from eavewell.hydraulics.wet_main import WetMain, WetPipe, needed_m
from eavewell.site.pipe import PipeRun
from eavewell.site.place import Show
from eavewell.tables import table

_M_PER_FT = 0.3048


@dataclass(frozen=True, slots=True)
class MainChange:
    """Ways to give a wet main its head and margin, each enough alone.

    size     : smallest pipe sold in which every run holds; "" for none.
    lower_m  : how much lower its end must let go; None where that alone does not do.
    raises_m : branches to raise, each with how much.
    """

    size: str
    bore_mm: float | None
    lower_m: float | None
    raises_m: tuple[tuple[str, float], ...]


def main_change(
    tree: PipeTree, main: WetMain, *, intensity_mm_h: float, over_m: float | None, system: Show
) -> MainChange:
    """What a main needs that lacks head.

    over_m : head over its store's overflow while it spills; a starting value for None.
    """
    short = short_of_margin(main)
    size, bore_mm = _wider(tree, main, intensity_mm_h=intensity_mm_h, system=system)
    most_m = max(lacks_m for _, lacks_m in short)
    return MainChange(
        size,
        bore_mm,
        lower_m=most_m if _may_end_lower(tree, main, lower_m=most_m, over_m=over_m) else None,
        raises_m=tuple((pipe.run.name, lacks_m) for pipe, lacks_m in short),
    )


def short_of_margin(main: WetMain) -> tuple[tuple[WetPipe, float], ...]:
    """Branches with less than the margin in hand, each with what it lacks in m."""
    margin_m = table("conveyance")["head margin"].value
    return tuple(
        (pipe, margin_m - pipe.spare_m)
        for pipe in main.pipes
        if pipe.spare_m is not None and pipe.spare_m < margin_m
    )


def with_bore(run: PipeRun, bore_mm: float) -> PipeRun:
    """The same run in a larger bore; one that is as wide already stays."""
    return replace(run, pipe=replace(run.pipe, bore_mm=max(bore_mm, run.pipe.bore_mm)))


def next_dry_size(pipe: DryPipe, *, system: Show) -> tuple[str, float | None]:
    """The smallest pipe sold that carries a dry pipe's storm at its fall; "" for none."""
    sold = standard_bores(FAMILIES[system])
    for called, bore_mm in sold:
        wider = with_bore(pipe.run, bore_mm)
        if dry_capacity_l_s(wider, pipe.fall or 0.0) >= (pipe.flow_l_s or 0.0):
            return called, bore_mm
    return "", None


def fall_to_carry(pipe: DryPipe) -> float:
    """Fall at which a dry pipe just carries its storm."""
    return fall_for_flow(
        pipe.flow_l_s or 0.0,
        bore_mm=pipe.run.pipe.bore_mm,
        roughness_n=manning_n(pipe.run.pipe.material),
    )


def fall_to_clean(pipe: DryPipe, flow_l_s: float) -> float | None:
    """Fall at which a flow keeps a dry pipe clean; None where none does."""
    return fall_for_speed(
        clean_m_s(),
        flow_l_s=flow_l_s,
        bore_mm=pipe.run.pipe.bore_mm,
        roughness_n=manning_n(pipe.run.pipe.material),
    )


def clean_m_s() -> float:
    """Speed that keeps a pipe clean."""
    return table("conveyance")["least speed"].value * _M_PER_FT


def least_fall() -> float:
    """Least fall of a dry pipe, metres per metre."""
    return table("conveyance")["least fall"].value / 12.0


def _wider(
    tree: PipeTree, main: WetMain, *, intensity_mm_h: float, system: Show
) -> tuple[str, float | None]:
    margin_m = table("conveyance")["head margin"].value
    names = {pipe.run.name for pipe in main.pipes}
    for called, bore_mm in standard_bores(FAMILIES[system]):
        runs = tuple(with_bore(r, bore_mm) if r.name in names else r for r in tree.runs)
        wider = replace(tree, runs=runs)
        if all(
            pipe.opening_m - needed_m(wider, one, intensity_mm_h=intensity_mm_h)
            >= (main.outlet_m or 0.0) + margin_m
            for pipe in main.pipes
            for one in runs
            if one.name == pipe.run.name and pipe.opening_m is not None
        ):
            return called, bore_mm
    return "", None


def _may_end_lower(tree: PipeTree, main: WetMain, *, lower_m: float, over_m: float | None) -> bool:
    """Whether the end stands far enough above the water of the tank while it spills."""
    root = main.pipes[0].run
    tank, end_m = tree.tank(root), entry_level_m(tree, root)
    if tank is None or end_m is None:
        return False
    head_m = table("conveyance")["head over overflow"].value if over_m is None else over_m
    water_m = spilling_level_m(tank, head_m)
    return water_m is not None and end_m - lower_m >= water_m
