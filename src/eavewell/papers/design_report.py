"""The design report on paper: the answer on one page, then every part from sky to tap."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from eavewell.answers.shown import Sizes, spell
from eavewell.papers.issue import issue_mark
from eavewell.papers.number_sources import sources_part
from eavewell.papers.paper import Lead, NewPage, Paper, PaperBlock, Part, Picture
from eavewell.report.answer import answer_section
from eavewell.report.blocks import Caution, Heading, Marked, Words
from eavewell.report.findings import findings_section
from eavewell.report.whole import PARTS, title_lines
from eavewell.site.place import Show
from eavewell.tables.texts import words

WORDS = words("design_report")
# pictures by the words of the part they belong to
Charts = Mapping[str, tuple[Picture, ...]]
MOST_TOLD = 6


def design_report(
    answer: dict[str, Any],
    *,
    day: date,
    system: Show,
    section: str = "",
    charts: Charts | None = None,
) -> Paper:
    """The report of a design.

    section : the section from sky to tap, as SVG; "" leaves it out. charts : by the words of
    the part that they belong to.
    """
    sizes = Sizes(system)
    blocks: list[PaperBlock] = [*_summary(answer, sizes)]
    if section:
        says = WORDS.say("page.section_from_its_roofs", site=answer["site"])
        blocks.append(Picture(section, says, WORDS.say("page.section_from_sky_tap"), wide=True))
    for part, sections in PARTS[1:]:
        found = [block for one in sections for block in one(answer, sizes)]
        shown = (charts or {}).get(part, ())
        if found or shown:
            blocks += [Part(part), *shown, *_unheaded(found, part)]
    blocks += sources_part(answer)
    named = ("design-report", WORDS.say("page.design_report"))
    return paper_of(answer, blocks, named=named, day=day, system=system)


def paper_of(
    answer: dict[str, Any],
    blocks: list[PaperBlock],
    *,
    named: tuple[str, str],
    day: date,
    system: Show,
) -> Paper:
    """A paper of a design, with what stands at its foot.

    named : of its file, and its title.
    """
    name, title = named
    rain = answer["rain"]
    return Paper(
        name=name,
        title=title,
        site=answer["site"],
        day=day,
        record=f"{rain['name']}, {spell(rain['from'], rain['to'])}",
        version=answer["eavewell"],
        issue=issue_mark(answer),
        blocks=tuple(blocks),
        lead=_lead(answer, system),
        paged="letter" if system == "us" else "a4",
        invented=rain["invented"],
        contents=name == "design-report",
    )


def _lead(answer: dict[str, Any], system: Show) -> tuple[str, ...]:
    lines = [getattr(one, "words", "") for one in title_lines(answer, Sizes(system))]
    return tuple(words for words in lines[2:] if words and "INVENTED" not in words)


def _summary(answer: dict[str, Any], sizes: Sizes) -> list[PaperBlock]:
    """One page for the client: the answer, the goals, what must be settled first."""
    found = [one for one in answer_section(answer, sizes) if not isinstance(one, Heading)]
    words = [one for one in found if isinstance(one, Words) and one.style != "italic"]
    first, *rest = [one for one in found if not (isinstance(one, Words) and one.style == "italic")]
    lead = [Lead(first.words)] if isinstance(first, Words) and words else [first]
    stops = [
        one
        for one in findings_section(answer, sizes)
        if isinstance(one, Marked) and one.mark in ("stop", "fix")
    ]
    told: list[PaperBlock] = [Part(WORDS.say("summary.answer")), *lead, *rest]
    if stops:
        told += [Heading(WORDS.say("summary.be_settled_first")), *stops[:MOST_TOLD]]
        if len(stops) > MOST_TOLD:
            told.append(
                Words(WORDS.say("summary.more_stand_among_findings", stops=len(stops) - MOST_TOLD))
            )
    told.append(Caution(WORDS.say("summary.screening_not_design_approval")))
    return [*told, NewPage()]


def _unheaded(found: list[Any], words: str) -> list[Any]:
    """The blocks without a first heading that only says the part's own words again."""
    first = found[0] if found else None
    same = isinstance(first, Heading) and first.words.split(",")[0] == words
    return found[1:] if same else found
