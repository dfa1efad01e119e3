"""The design report, from sky to tap, with the answer first."""

from collections.abc import Callable
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
from eavewell.report.parts import parts_section
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
Section = Callable[[Plain, Sizes], list[Block]]


def title_lines(answer: Plain, sizes: Sizes) -> list[Block]:
    """The site, its place and its record."""
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


def rests_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """What was taken for granted, and on which record."""
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


# the parts of the report in the order of flow, each a list of sections
PARTS: tuple[tuple[str, tuple[Section, ...]], ...] = (
    ("The answer", (answer_section,)),
    ("Rain and roofs", (rain_section, roofs_section)),
    ("Who wants water", (uses_section,)),
    ("Stores and sizes", (stores_section, sizes_section, doubts_section)),
    (
        "From the eaves to the tank",
        (eaves_section, conveyance_section, lift_section, within_day_lines, tanks_section),
    ),
    ("From the tank to the tap", (gravity_section, service_section)),
    (
        "Fit for its use",
        (fitness_section, barriers_section, water_tests_section, upkeep_section),
    ),
    ("On the ground", (stormwater_section, structure_section, levels_section)),
    ("Rules and money", (rules_section, cost_section, parts_section)),
    ("What the checks found", (findings_section,)),
    ("What this rests on", (rests_section,)),
)


def report(answer: Plain, *, system: Show) -> list[Block]:
    """The whole report; system is "us" or "metric"."""
    sizes = Sizes(system)
    sections = (section(answer, sizes) for _, part in PARTS for section in part)
    return [*title_lines(answer, sizes), *(block for section in sections for block in section)]
