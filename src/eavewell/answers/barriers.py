"""Barriers in order as plain data."""

from typing import Any

from eavewell.site.barrier import Lamp
from eavewell.treatment.barriers import Against, TreatedLine, has_shut_valve
from eavewell.treatment.credit import ContactWorks, LampWorks

Plain = dict[str, Any]


def barriers_answer(treated: tuple[TreatedLine, ...]) -> list[Plain]:
    """Every line that treats its water or serves somebody who drinks it."""
    return [_line(run) for run in treated]


def _line(run: TreatedLine) -> Plain:
    weakest = run.weakest
    return {
        "name": run.line.name,
        "uses": [use.name for use in run.uses],
        "drinks": run.drinks,
        "order": [{"kind": one.kind, "name": one.name} for one in run.order],
        "largest_flow_l_s": run.largest_l_s,
        "against": [_against(one) for one in run.against],
        "credits": [
            {
                "barrier": one.barrier,
                "organism": one.organism,
                "logs": one.logs,
                "why": one.why,
            }
            for one in run.credits
        ],
        "weakest": weakest.organism if weakest else "",
        "lamps": [_lamp(one) for one in run.lamps],
        "contact": _contact(run.contact),
        "cartridges": [
            {
                "name": one.thing.name,
                "passage_mm": one.thing.passage_mm,
                "by_water_days": one.by_water_days,
                "by_time_days": one.by_time_days,
                "every_days": one.every_days,
            }
            for one in run.cartridges
        ],
        "by_gravity": run.by_gravity,
        "unlit_l": run.unlit.known_l,
        "unlit_is_least": run.unlit.is_least,
        "shut_valve": has_shut_valve(run.line) if run.lamps else None,
    }


def _against(one: Against) -> Plain:
    return {
        "organism": one.organism,
        "logs": one.logs,
        "by": one.by,
        "target_logs": one.target.logs if one.target else None,
        "target_source": one.target.written.in_words if one.target else "",
    }


def _lamp(one: LampWorks) -> Plain:
    works = one.thing.works if isinstance(one.thing.works, Lamp) else Lamp()
    return {
        "name": one.thing.name,
        "flow_l_s": one.flow_l_s,
        "dose_mj_cm2": one.dose_mj_cm2,
        "derated": one.derated,
        "listing": works.listing,
        "document": works.document,
        "why": list(one.why),
    }


def _contact(found: ContactWorks | None) -> Plain:
    return {
        "name": found.tank.name if found else "",
        "ct_mg_min_l": found.ct_mg_min_l if found else None,
        "flow_l_s": found.flow_l_s if found else None,
        "why": list(found.why) if found else [],
    }
