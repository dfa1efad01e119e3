"""The design report, from sky to tap, with the answer first."""

from typing import Any

from eavewell.answers.shown import Sizes, days_in_words, listed, spell
from eavewell.report.answer import answer_section
from eavewell.report.barriers import barriers_section
from eavewell.report.blocks import GAP, INVENTED, Block, heading, marked, one_line, paragraph
from eavewell.report.cautions import cautioned
from eavewell.report.conveyance import conveyance_section
from eavewell.report.cost import cost_section
from eavewell.report.doubts import doubts_section
from eavewell.report.eaves import eaves_section
from eavewell.report.findings import findings_section
from eavewell.report.fitness import fitness_section
from eavewell.report.gravity import gravity_section
from eavewell.report.levels import levels_section
from eavewell.report.lift import lift_section
from eavewell.report.parts import parts_lines
from eavewell.report.rules import rules_section
from eavewell.report.service import service_section
from eavewell.report.sizes import sizes_section
from eavewell.report.sky import at_the_site, rain_section, roofs_section
from eavewell.report.stores import stores_section
from eavewell.report.stormwater import stormwater_section
from eavewell.report.structure import structure_section
from eavewell.report.tanks import tanks_section
from eavewell.report.upkeep import upkeep_section
from eavewell.report.uses import uses_section
from eavewell.report.water_tests import water_tests_section
from eavewell.report.within_day import within_day_lines
from eavewell.site.place import Show

Plain = dict[str, Any]


def report(answer: Plain, *, system: Show) -> list[Block]:
    """The whole report; system is "us" or "metric"."""
    sizes = Sizes(system)
    return [
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
    ]


def _title(answer: Plain, sizes: Sizes) -> list[Block]:
    rain = answer["rain"]
    missing = f"{sizes.share(rain['missing_share'])} of the days without a reading"
    measured = (
        "" if rain["invented"] else f"; {missing if rain['missing_share'] else 'every day read'}"
    )
    place = _place(answer["place"], sizes)
    lines: list[Block] = [
        GAP,
        one_line(answer["site"], style="bold"),
        *([one_line(place)] if place else []),
        one_line(f"Rain: {rain['name']}, {spell(rain['from'], rain['to'])}{measured}"),
        *(one_line(note) for note in at_the_site(rain)),
    ]
    if rain["invented"]:
        lines.append(INVENTED)
    return lines


def _place(place: Plain, sizes: Sizes) -> str:
    parts = [
        f"{abs(degrees):g} {sides[degrees < 0]}"
        for degrees, sides in ((place["latitude"], "NS"), (place["longitude"], "EW"))
        if degrees is not None
    ]
    if place["elevation_m"] is not None:
        parts.append(f"{sizes.height(place['elevation_m'])} above the sea")
    return ", ".join(parts)


def _end(answer: Plain) -> list[Block]:
    rain = answer["rain"]
    return [
        heading("What this rests on"),
        *(marked("-", days_in_words(sentence)) for sentence in _together(answer["assumed"])),
        GAP,
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
