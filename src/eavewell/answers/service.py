"""Lines with a pump as plain data."""

from dataclasses import asdict, fields
from typing import Any

from eavewell.answers.gravity import watered_answer
from eavewell.hydraulics.pressure_budget import Budget
from eavewell.hydraulics.service import PumpedLine
from eavewell.hydraulics.service_drip import ServedLateral
from eavewell.hydraulics.service_outlets import ServedOutlet
from eavewell.hydraulics.service_peak import Peak
from eavewell.hydraulics.service_pipes import SuctionHead
from eavewell.hydraulics.service_pump import PumpWorks
from eavewell.hydraulics.service_tank import TankWorks
from eavewell.tables import rows

Plain = dict[str, Any]


def service_answer(served: tuple[PumpedLine, ...]) -> list[Plain]:
    """Every line with a pump: peak flow, pump, pressure tank, budget of the worst outlet."""
    return [_line(run) for run in served]


def _line(run: PumpedLine) -> Plain:
    pump = run.line.pump
    return {
        "name": run.line.name,
        "tank": run.line.source,
        "pump": pump.name if pump else "",
        "control": run.line.control,
        "control_rules": _rules(run.line.control),
        "cut_in_m": run.line.cut_in_m,
        "cut_out_m": run.line.cut_out_m,
        "input_w": pump.input_w if pump else None,
        "start_w": pump.start_w if pump else None,
        "peak": _peak(run.peak),
        "works": _each(PumpWorks, run.pump),
        "pressure_tank": _each(TankWorks, run.tank),
        "outlets": [_outlet(one) for one in run.outlets],
        "drip": [_drip(one) for one in run.laterals],
        "budget": _budget(run.budget),
        "largest_flow_l_s": run.largest_flow_l_s,
        "speeds": [
            {
                "what": one.what,
                "flow_l_s": one.flow_l_s,
                "speed_m_s": one.speed_m_s,
                "most_m_s": one.most_m_s,
            }
            for one in run.speeds
        ],
        "suction": _each(SuctionHead, run.suction),
        "l_day": run.l_day,
        "kwh_m3": run.kwh_m3,
        "kwh_day": run.kwh_day,
        "unknown": list(run.unknown),
    }


def _rules(control: str) -> Plain:
    row = next(row for row in rows("service_controls") if row["control"] == control)
    return {name: row[name] for name in ("precharge", "least_flow", "leak", "dry_run")}


def _peak(peak: Peak) -> Plain:
    chance = peak.chance
    return {
        "flow_l_s": peak.flow_l_s,
        "steady": peak.steady,
        "steady_l_s": peak.steady_l_s,
        "plain_l_s": chance.plain_l_s if chance else None,
        "truncated_l_s": chance.truncated_l_s if chance else None,
        "busy_l_s": chance.busy_l_s if chance else None,
        "all_l_s": chance.all_l_s if chance else None,
        "by_fixture_units": [
            {
                "edition": one.edition,
                "fixture_units": one.fixture_units,
                "flow_l_s": one.flow_l_s,
            }
            for one in peak.units
        ],
    }


def _outlet(run: ServedOutlet) -> Plain:
    return {
        "name": run.outlet.name,
        "fixture": run.outlet.fixture,
        "needs_l_s": run.needs.flow_l_s * run.outlet.count,
        "needs_m": run.needs.head_m,
        "least_m": run.least_m,
        "least_l_s": run.least_l_s,
        "most_m": run.most_m,
        "most_l_s": run.most_l_s,
    }


def _drip(run: ServedLateral) -> Plain:
    return {
        "name": run.lateral.name,
        "plants": run.lateral.plants,
        "least": watered_answer(run.least),
        "most": watered_answer(run.most),
        "hours": run.hours,
    }


def _each(kind: type[Any], found: Any) -> Plain:
    """A result with its fields; every one None where there is no result."""
    return {field.name: getattr(found, field.name, None) for field in fields(kind)}


def _budget(budget: Budget | None) -> Plain:
    if budget is None:
        names = ("outlet", "fixture", "flow_l_s", "left_clean_m", "left_dirty_m", "needs_m")
        return dict.fromkeys((*names, "spare_m")) | {"lines": []}
    return {
        "outlet": budget.outlet.name,
        "fixture": budget.outlet.fixture,
        "flow_l_s": budget.flow_l_s,
        "lines": [asdict(line) for line in budget.lines],
        "left_clean_m": budget.clean_m,
        "left_dirty_m": budget.dirty_m,
        "needs_m": budget.needs.head_m,
        "spare_m": budget.spare_m,
    }
