"""Water that runs, falls and is lifted, as plain data."""

from dataclasses import asdict
from typing import Any

from eavewell.answers.conveyance import conveyance_answer, first_flush_answer
from eavewell.answers.eaves import eaves_answer
from eavewell.answers.gravity import gravity_answer
from eavewell.answers.lift import lifts_answer
from eavewell.answers.tanks import tanks_answer
from eavewell.answers.within_day import within_day_answer
from eavewell.design import Design


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
            design.lifted, captured=design.moved.captured, sizes=design.moved.sizes
        ),
        "tanks": tanks_answer(design.connected),
        "gravity": gravity_answer(design.gravity),
        "daily_step": [asdict(one) for one in design.coarse],
    }
