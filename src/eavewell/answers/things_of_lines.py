"""Lines and lifts as the site file describes them."""

from typing import Any

from eavewell.site.barrier import Cartridge, Lamp
from eavewell.site.lift import Lift
from eavewell.site.line import InLine, Line
from eavewell.site.site import Site

Plain = dict[str, Any]


def line_things(site: Site) -> list[Plain]:
    """Every line from a tank to its outlets."""
    return [_line(line) for line in site.lines]


def lift_things(site: Site) -> list[Plain]:
    """Every lift, the mains' make-up included."""
    return [_lift(lift) for lift in site.lifts]


def _line(line: Line) -> Plain:
    pump, tank = line.pump, line.pressure_tank
    return {
        "name": line.name,
        "tank": line.source,
        "bore_mm": line.main.bore_mm,
        "length_m": line.main.length_m,
        "material": line.main.material,
        "pump": pump.name if pump else "",
        "pump_kind": pump.kind if pump else "",
        "motor_w": pump.motor_w if pump else None,
        "input_w": pump.input_w if pump else None,
        "shut_off_m": pump.shut_off_m if pump else None,
        "control": line.control if pump else "",
        "cut_in_m": line.cut_in_m,
        "cut_out_m": line.cut_out_m,
        "pressure_tank_l": tank.size_l if tank else None,
        "precharge_m": tank.precharge_m if tank else None,
        "dry_run_m": line.dry_run_m,
        "check_valve": line.check_valve,
        "heater": line.heater,
        "expansion_tank": line.expansion_tank,
        "vacuum_breakers": line.vacuum_breakers,
        "in_line": [_passed(one) for one in line.in_line],
        "outlets": [
            {"name": one.name, "fixture": one.fixture, "count": one.count} for one in line.outlets
        ],
        "laterals": [one.name for one in line.laterals],
        "troughs": [one.name for one in line.troughs],
    }


def _passed(one: InLine) -> Plain:
    cartridge = one.works if isinstance(one.works, Cartridge) else None
    lamp = one.works if isinstance(one.works, Lamp) else None
    return {
        "name": one.name,
        "kind": one.kind,
        "passage_mm": one.passage_mm,
        "rating": cartridge.rating if cartridge else "",
        "listed": cartridge.listed if cartridge else "",
        "life_days": cartridge.life_days if cartridge else None,
        "most_l_s": one.most_l_s,
        "lamp_life_h": lamp.life_h if lamp else None,
        "lamp_w": lamp.input_w if lamp else None,
        "lamp_sensor": lamp.sensor if lamp else None,
    }


def _lift(lift: Lift) -> Plain:
    pump = lift.pump
    return {
        "name": lift.name,
        "from": lift.source,
        "to": lift.target,
        "limit_l_day": lift.limit_l_day,
        "source_start_l": lift.source_start_l,
        "source_stop_l": lift.source_stop_l,
        "target_start_share": lift.target_start_share,
        "target_stop_share": lift.target_stop_share,
        "pump": pump.name if pump else "",
        "input_w": pump.input_w if pump else None,
        "start_m": lift.start_m,
        "stop_m": lift.stop_m,
        "alarm": lift.alarm,
        "check_valve": lift.check_valve,
    }
