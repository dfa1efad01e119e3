"""The pressure budget of an outlet: from pump to tap, loss by loss, filters clean and dirty.

At peak the outlet itself runs with what it needs, and the others, the farthest first, until the
whole line draws its peak flow; the last of them in part.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.hydraulics.friction import developed_length_m, pipe_loss_m
from eavewell.hydraulics.line_network import SAME_PLACE_M, Needs, needs_of
from eavewell.site.line import Control, InLine, Line
from eavewell.site.outlet import Outlet

BEGINS: dict[Control, str] = {
    "switch": "at the pump, cut-in",
    "variable speed": "at the pump, held",
    "on demand": "at the pump, running",
}


@dataclass(frozen=True, slots=True)
class BudgetLine:
    """One line of a budget: head gained or lost, with clean and with dirty filters.

    flow_l_s : through it; length_m : developed, of a pipe; None where they say nothing.
    """

    what: str
    clean_m: float
    dirty_m: float
    flow_l_s: float | None = None
    length_m: float | None = None


@dataclass(frozen=True, slots=True)
class Budget:
    """Pressure at one outlet while the line draws its peak flow."""

    outlet: Outlet
    needs: Needs
    flow_l_s: float
    lines: tuple[BudgetLine, ...]

    @property
    def clean_m(self) -> float:
        """What is left at the outlet with clean filters."""
        return sum(line.clean_m for line in self.lines)

    @property
    def dirty_m(self) -> float:
        """What is left at the outlet with dirty filters."""
        return sum(line.dirty_m for line in self.lines)

    @property
    def spare_m(self) -> float:
        """What is left over its need with dirty filters; below 0 it falls short."""
        return self.dirty_m - self.needs.head_m


def worst_budget(line: Line, *, source_m: float, peak_l_s: float) -> Budget | None:
    """The budget of the outlet that has least to spare; None where no outlet has a known level.

    source_m : head at the pump's outlet, above the pump's own level.
    """
    budgets = (
        budget(line, outlet, source_m=source_m, peak_l_s=peak_l_s)
        for outlet in line.outlets
        if outlet.level_m is not None
    )
    return min(budgets, key=lambda one: one.spare_m, default=None)


def budget(line: Line, outlet: Outlet, *, source_m: float, peak_l_s: float) -> Budget:
    """The budget of one outlet; its level and the pump's must be known."""
    assert outlet.level_m is not None
    assert line.pump_m is not None
    needs = needs_of(outlet)
    flow = max(peak_l_s, needs.flow_l_s)
    rise_m = outlet.level_m - line.pump_m
    main_m = main_loss_m(line, outlet, peak_l_s=flow)
    lines = [
        BudgetLine(BEGINS[line.control], source_m, source_m),
        BudgetLine("rise to the outlet", -rise_m, -rise_m),
        *(_passed(thing, flow) for thing in line.in_line),
        BudgetLine("main", -main_m, -main_m, flow, developed_length_m(line.main)),
    ]
    if outlet.branch is not None:
        drawn = branch_flow_l_s(outlet, peak_l_s)
        lost_m = pipe_loss_m(drawn, outlet.branch)
        length_m = developed_length_m(outlet.branch)
        lines.append(BudgetLine("branch", -lost_m, -lost_m, drawn, length_m))
    return Budget(outlet, needs, flow, tuple(lines))


def branch_flow_l_s(outlet: Outlet, peak_l_s: float) -> float:
    """Flow in an outlet's branch at peak: all of its equal ones, as far as the peak allows."""
    one = needs_of(outlet).flow_l_s
    return min(outlet.count * one, max(peak_l_s, one))


def main_loss_m(line: Line, outlet: Outlet, *, peak_l_s: float) -> float:
    """Head lost in the main on the way to an outlet at peak; its fittings lie evenly along it."""
    end_m, before_m, lost_m = _place_m(line, outlet.at_m), 0.0, 0.0
    draws = tuple(_open(line, outlet, peak_l_s=peak_l_s))
    for place_m in sorted({place for place, _ in draws if place < end_m} | {end_m}):
        flow = sum(drawn for place, drawn in draws if place >= place_m)
        lost_m += (place_m - before_m) / line.main.length_m * pipe_loss_m(flow, line.main)
        before_m = place_m
    return lost_m


def _open(line: Line, outlet: Outlet, *, peak_l_s: float) -> Iterator[tuple[float, float]]:
    """Place along the main and flow of everything that runs."""
    own = needs_of(outlet).flow_l_s
    yield _place_m(line, outlet.at_m), own
    left = peak_l_s - own
    others = [
        (_place_m(line, one.at_m), _others_l_s(one, outlet), one.level_m or 0.0)
        for one in line.outlets
    ]
    for place, most, _ in sorted(others, key=lambda other: (-other[0], -other[2])):
        drawn = min(most, left)
        if drawn <= 0.0:
            continue
        left -= drawn
        yield place, drawn
    if left > 0.0:
        yield line.main.length_m, left


def _others_l_s(one: Outlet, outlet: Outlet) -> float:
    return needs_of(one).flow_l_s * (one.count - (one is outlet))


def _place_m(line: Line, at_m: float | None) -> float:
    place = line.main.length_m if at_m is None else at_m
    return min(max(place, SAME_PLACE_M), line.main.length_m)


def _passed(thing: InLine, flow_l_s: float) -> BudgetLine:
    square = (flow_l_s / thing.rated_l_s) ** 2
    return BudgetLine(thing.name, -thing.clean_m * square, -thing.dirty_m * square, flow_l_s)
