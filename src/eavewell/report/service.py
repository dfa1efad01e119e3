"""The part of the report on lines with a pump: the pressure budget, the pump, its tank."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.report.cautions import cautioned
from eavewell.units import read, show

Plain = dict[str, Any]
GALLONS_L = 1000.0 * read("1 gal", "volume")
LEVEL_M = 0.01


def service_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Each pumped line: one table of pressure for its worst outlet, then the pump in sentences."""
    lines = answer["hydraulics"]["service"]
    if not lines:
        return []
    page: list[Block] = [heading("With a pump")]
    for at, line in enumerate(lines):
        page += [GAP] if at else []
        page += _line(line, sizes)
    return [*page, cautioned(answer, "service")]


def _line(line: Plain, sizes: Sizes) -> list[Block]:
    says = (_peak, _pump, _outlets, _tank, _suction, _power)
    words = [*(one(line, sizes) for one in says), _rules(line)]
    table = _budget(line, sizes)
    return [*table, *([GAP] if table else []), *(paragraph(one) for one in words if one)]


def _budget(line: Plain, sizes: Sizes) -> list[Block]:
    budget = line["budget"]
    if not budget["lines"]:
        return []
    head = (f"{line['name']}: {budget['outlet']}", "flow", "developed\nlength", "clean", "dirty")
    rows = [
        (
            one["what"],
            _show(one["flow_l_s"], "flow", sizes=sizes),
            _show(one["length_m"], "length", sizes=sizes),
            _show(one["clean_m"], "pressure", sizes=sizes),
            _show(one["dirty_m"], "pressure", sizes=sizes),
        )
        for one in budget["lines"]
    ]
    clean, dirty, need = (
        _show(budget[key], "pressure", sizes=sizes)
        for key in ("left_clean_m", "left_dirty_m", "needs_m")
    )
    rows += [("left", "", "", clean, dirty), (f"needs, {budget['fixture']}", "", "", need, need)]
    return [ruled(head, rows)]


def _peak(line: Plain, sizes: Sizes) -> str:
    peak = line["peak"]
    if not peak["flow_l_s"]:
        return ""
    flow = _show(peak["flow_l_s"], "flow", sizes=sizes)
    beside = f" with {peak['steady']} running beside" if peak["steady"] else ""
    by_chance = f"99 of 100 busy moments{beside}" if peak["busy_l_s"] else peak["steady"]
    codes = [
        f"{_show(one['flow_l_s'], 'flow', sizes=sizes)} by {one['edition']}"
        for one in peak["by_fixture_units"]
        if one["flow_l_s"] is not None
    ]
    units = peak["by_fixture_units"][0]["fixture_units"] if peak["by_fixture_units"] else 0.0
    by_code = f"; for {units:.3g} fixture units {' and '.join(codes)}" if codes else ""
    return f"Peak flow {flow} ({by_chance}){by_code}."


def _pump(line: Plain, sizes: Sizes) -> str:
    works = line["works"]
    if works["reach_m"] is None:
        return ""
    gives, asked, reach = (
        show(works[key], quantity, system=sizes.system)
        for key, quantity in (
            ("asked_l_s", "flow"),
            ("asked_m", "pressure"),
            ("reach_m", "pressure"),
        )
    )
    says = f"The {line['pump']} pump, {line['control']}, gives {gives} at {asked} with the tank low"
    off = works["off_l_s"]
    if off:
        cut_out = _show(line["cut_out_m"], "pressure", sizes=sizes)
        says += f" and {show(off, 'flow', system=sizes.system)} at {cut_out}"
    largest = line["largest_flow_l_s"]
    most = f" With everything open {_show(largest, 'flow', sizes=sizes)} flow." if largest else ""
    return f"{says}; it reaches {reach} at no flow.{most}"


def _outlets(line: Plain, sizes: Sizes) -> str:
    """The outlets that keep least and most when each runs alone."""
    outlets = line["outlets"]
    if not outlets:
        return ""
    least = min(outlets, key=lambda one: one["least_m"])
    most = max(outlets, key=lambda one: one["most_m"])
    low = _show(least["least_m"], "pressure", sizes=sizes)
    high = _show(most["most_m"], "pressure", sizes=sizes)
    if len(outlets) == 1:
        return f"Alone, {least['name']} keeps {low} at the least and {high} at the most."
    return f"Each alone, {least['name']} keeps the least, {low}, {most['name']} the most, {high}."


def _suction(line: Plain, sizes: Sizes) -> str:
    suction = line["suction"]
    if suction["lift_m"] is None:
        return ""
    over = -suction["lift_m"]
    stands = show(abs(over), "length", system=sizes.system)
    where = f"{stands} {'over' if over > 0.0 else 'below'}"
    where = "level with" if abs(over) < LEVEL_M else where
    available = show(suction["available_m"], "length", system=sizes.system)
    needed = suction["needed_m"]
    needs = f", it needs {show(needed, 'length', system=sizes.system)}" if needed else ""
    return (
        f"The low water stands {where} its eye: net positive suction head {available} at its "
        f"largest flow{needs}."
    )


def _rules(line: Plain) -> str:
    """Rules of a control other than the plain switch, whose numbers stand above."""
    rules = line["control_rules"]
    if line["control"] == "switch":
        return ""
    return (
        f"A pump {line['control']}: {rules['precharge']}. Least flow: {rules['least_flow']}. "
        f"Leaks: {rules['leak']}. Running dry: {rules['dry_run']}."
    )


def _tank(line: Plain, sizes: Sizes) -> str:
    tank = line["pressure_tank"]
    if tank["starts_h"] is None:
        return ""
    return (
        f"The pressure tank gives {sizes.volume(tank['gives_l'])} between cut-out and cut-in: the "
        f"pump runs {show(tank['run_min'], 'minutes', system=sizes.system)} at the least and "
        f"starts at most {tank['starts_h']:.2g} times an hour."
    )


def _power(line: Plain, sizes: Sizes) -> str:
    """Energy of the pump alone; a lamp that burns all day may take far more."""
    parts = []
    if line["kwh_m3"] is not None:
        each, name = (GALLONS_L, "1,000 gal") if sizes.system == "us" else (1000.0, "1,000 L")
        energy = _show(line["kwh_m3"] * each / 1000.0, "energy", sizes=sizes)
        parts.append(f"{energy} for each {name}")
    if line["kwh_day"] is not None:
        parts.append(f"{_show(line['kwh_day'], 'energy', sizes=sizes)} on an average day")
    elif parts:
        parts.append("unknown on an average day as other lines share its tank")
    if line["input_w"] is not None:
        parts.append(f"{_show(line['input_w'], 'power', sizes=sizes)} running")
    if line["start_w"] is not None:
        parts.append(f"{_show(line['start_w'], 'power', sizes=sizes)} at the start")
    return f"The pump alone takes {', '.join(parts)}." if parts else ""


def _show(value: float | None, quantity: str, *, sizes: Sizes) -> str:
    return "-" if value is None else show(value, quantity, system=sizes.system)
