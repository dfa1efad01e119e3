"""The design report, from sky to tap, with the answer first."""

from typing import Any

from rich.console import Group, RenderableType
from rich.text import Text

from eavewell.answers.shown import Sizes, days_in_words, listed, spell
from eavewell.site.place import Show
from eavewell.terminal.cautions import cautioned
from eavewell.terminal.page import heading, marked, paragraph
from eavewell.terminal.report_answer import answer_section
from eavewell.terminal.report_barriers import barriers_section
from eavewell.terminal.report_conveyance import conveyance_section
from eavewell.terminal.report_cost import cost_section
from eavewell.terminal.report_doubts import doubts_section
from eavewell.terminal.report_eaves import eaves_section
from eavewell.terminal.report_findings import findings_section
from eavewell.terminal.report_fitness import fitness_section
from eavewell.terminal.report_gravity import gravity_section
from eavewell.terminal.report_levels import levels_section
from eavewell.terminal.report_lift import lift_section
from eavewell.terminal.report_parts import parts_lines
from eavewell.terminal.report_rules import rules_section
from eavewell.terminal.report_service import service_section
from eavewell.terminal.report_sizes import sizes_section
from eavewell.terminal.report_sky import at_the_site, rain_section, roofs_section
from eavewell.terminal.report_stores import stores_section
from eavewell.terminal.report_stormwater import stormwater_section
from eavewell.terminal.report_structure import structure_section
from eavewell.terminal.report_tanks import tanks_section
from eavewell.terminal.report_upkeep import upkeep_section
from eavewell.terminal.report_uses import uses_section
from eavewell.terminal.report_water_tests import water_tests_section
from eavewell.terminal.report_within_day import within_day_lines

Plain = dict[str, Any]


def report(answer: Plain, *, system: Show) -> RenderableType:
    """The whole report; system is "us" or "metric"."""
    sizes = Sizes(system)
    return Group(
        *_title(answer, sizes),
        *answer_section(answer, sizes),
        *rain_section(answer, sizes),
        *roofs_section(answer, sizes),
        *uses_section(answer, sizes),
        *stores_section(answer, sizes),
        *sizes_section(answer, sizes),
        *doubts_section(answer, sizes),
        *eaves_section(answer, sizes),
        *conveyance_section(answer, sizes),
        *lift_section(answer, sizes),
        *within_day_lines(answer, sizes),
        *tanks_section(answer, sizes),
        *gravity_section(answer, sizes),
        *service_section(answer, sizes),
        *fitness_section(answer, sizes),
        *barriers_section(answer, sizes),
        *water_tests_section(answer, sizes),
        *upkeep_section(answer, sizes),
        *stormwater_section(answer, sizes),
        *structure_section(answer, sizes),
        *levels_section(answer, sizes),
        *rules_section(answer, sizes),
        *cost_section(answer, sizes),
        *parts_lines(answer),
        *findings_section(answer, sizes),
        *_end(answer),
    )


def _title(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    rain = answer["rain"]
    missing = f"{sizes.share(rain['missing_share'])} of the days without a reading"
    measured = (
        "" if rain["invented"] else f"; {missing if rain['missing_share'] else 'every day read'}"
    )
    lines = [
        Text(""),
        Text(answer["site"], style="bold"),
        Text(_place(answer["place"], sizes)),
        Text(f"Rain: {rain['name']}, {spell(rain['from'], rain['to'])}{measured}"),
        *(Text(note) for note in at_the_site(rain)),
    ]
    if rain["invented"]:
        lines.append(Text("INVENTED CLIMATE: for trying things out, never for building", "bold"))
    return [line for line in lines if line.plain or line is lines[0]]


def _place(place: Plain, sizes: Sizes) -> str:
    parts = [
        f"{abs(degrees):g} {sides[degrees < 0]}"
        for degrees, sides in ((place["latitude"], "NS"), (place["longitude"], "EW"))
        if degrees is not None
    ]
    if place["elevation_m"] is not None:
        parts.append(f"{sizes.height(place['elevation_m'])} above the sea")
    return ", ".join(parts)


def _end(answer: Plain) -> list[RenderableType]:
    rain = answer["rain"]
    return [
        heading("What this rests on"),
        *(marked("-", days_in_words(sentence)) for sentence in _together(answer["assumed"])),
        Text(""),
        paragraph(f"Not part of this report: {'; '.join(answer['not_checked'])}."),
        paragraph(
            f"Record: {rain['name']}, {spell(rain['from'], rain['to'])}. What held on this record "
            "may not hold in a worse drought. Screening, not design approval: the authority having "
            "jurisdiction and licensed trades decide.",
        ),
        cautioned(answer, "end"),
    ]


def _together(sentences: list[str]) -> list[str]:
    """Sentences that say the same of several things, said once."""
    things: dict[str, list[str]] = {}
    for sentence in sentences:
        thing, mark, rest = sentence.partition(": ")
        things.setdefault(rest if mark else thing, []).append(thing if mark else "")
    return [f"{_all(said)}: {says}" if any(said) else says for says, said in things.items()]


def _all(things: list[str]) -> str:
    first, *rest = dict.fromkeys(things)
    return listed([first, *(f"{thing[:1].lower()}{thing[1:]}" for thing in rest)])
