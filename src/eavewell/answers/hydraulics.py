"""Water that runs, falls and is lifted, as plain data."""

from dataclasses import asdict
from typing import Any

from eavewell.answers.conveyance import conveyance_answer, first_flush_answer
from eavewell.answers.eaves import eaves_answer
from eavewell.answers.gravity import gravity_answer
from eavewell.answers.lift import lifts_answer
from eavewell.answers.service import service_answer
from eavewell.answers.tanks import tanks_answer
from eavewell.answers.within_day import within_day_answer
from eavewell.design import Design
from eavewell.storage.with_captured import refused_l


def hydraulics(design: Design) -> dict[str, Any]:
    """Levels, eaves, collection pipes, lifts, fittings and lines of a design."""
    return {
        "datum": design.site.datum,
        "levels": [asdict(level) for level in design.levels],
        "eaves": eaves_answer(design.eaves),
        "conveyance": conveyance_answer(design.pipes),
        "first_flush": first_flush_answer(design.pipes),
        "within_day": within_day_answer(design.within),
        "lifts": lifts_answer(
            design.lifted,
            captured=design.moved.captured,
            sizes=design.moved.sizes,
            refused_l_year=_refused_l_year(design),
            sharper=design.moved.sharper,
        ),
        "tanks": tanks_answer(design.connected),
        "gravity": gravity_answer(design.gravity),
        "service": service_answer(design.served),
        "daily_step": [asdict(one) for one in design.coarse],
    }


def _refused_l_year(design: Design) -> dict[str, float]:
    """Water in a mean year that a lift would bring to a tank which is full: its sump spills it."""
    names = [tank.name for tank in design.site.tanks]
    spilled_l = design.drawn.every_day.spilled_l
    per_year = 365.25 / design.water.days
    return {
        one.lift.lift: float(refused_l(one, spilled_l[:, names.index(one.lift.target)]).sum())
        * per_year
        for one in design.moved.captured
    }
