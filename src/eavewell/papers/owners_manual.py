"""The owner's manual, with the contents that one state's rule asks for, in its order."""

from datetime import date
from typing import Any

from eavewell.answers.shown import Sizes, count
from eavewell.answers.shown import day as day_in_words
from eavewell.papers.design_report import paper_of
from eavewell.papers.filled import filled_as_known, needed
from eavewell.papers.joined import Joined, joined
from eavewell.papers.manual_contacts import contacts, sampling_points
from eavewell.papers.manual_data import data_of
from eavewell.papers.paper import Form, Ledger, Paper, PaperBlock, Part, Picture
from eavewell.report.blocks import Caution, heading, marked, paragraph, ruled
from eavewell.report.upkeep import upkeep_section
from eavewell.report.water_tests import water_tests_section
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("owners_manual")
Plain = dict[str, Any]
NAMED = ("owners-manual", WORDS.say("named"))
FIRST = "Components"


def owners_manual_paper(
    answer: Plain, *, day: date, system: Show, schematic: Picture | None = None
) -> Paper:
    """The manual of a site.

    schematic : the drawing with tag numbers; None says which sheet it is.
    """
    sizes, found = Sizes(system), joined(answer)
    data = data_of(found, sizes)
    blocks: list[PaperBlock] = [
        *_identity(answer, sizes),
        *_capacity(answer, sizes),
        heading(FIRST),
        *data.pop(FIRST),
        _where_drawn(schematic),
        *sampling_points(answer),
        *contacts(answer),
        *_controls(found, sizes),
        *_schedules(answer, sizes),
    ]
    for part, facts in data.items():
        blocks += [Part(part), *facts]
    blocks += [Part(WORDS.say("page.changes_made_since")), Ledger(*CHANGES)]
    blocks += [schematic] if schematic else []
    return paper_of(answer, blocks, named=NAMED, day=day, system=system)


CHANGES = (WORDS.several("changes"), (("", "", ""),) * 7, (1.0, 4.0, 1.6))


def _identity(answer: Plain, sizes: Sizes) -> list[PaperBlock]:
    uses = [
        (one["name"], one["class"], sizes.daily(one["mean_l_per_day"])) for one in answer["demand"]
    ]
    dangers = [one["says"] for one in answer["cautions"] if one["of"] in ("uses", "stores")]
    return [
        Part(WORDS.say("identity.title")),
        Form(WORDS.several("identity.form")),
        ruled(WORDS.several("identity.head"), uses, names=(0, 1)),
        paragraph(WORDS.say("identity.for_these_uses_no")),
        Caution(" ".join(dict.fromkeys(dangers))),
    ]


def _capacity(answer: Plain, sizes: Sizes) -> list[PaperBlock]:
    water = {one["name"]: one for one in answer["hydraulics"]["tanks"]}
    lines = [
        (
            one["name"],
            f"{one['count']}",
            sizes.volume(water[one["name"]]["nominal_l"]),
            sizes.volume(water[one["name"]]["usable_l"]),
            sizes.volume(water[one["name"]]["dead_l"]),
            sizes.volume(one["fire_reserve_l"]) if one["fire_reserve_l"] else "none",
        )
        for one in answer["things"]["tanks"]
        if one["name"] in water
    ]
    head = WORDS.several("capacity.head")
    return [Part(WORDS.say("capacity.title")), ruled(head, lines)]


def _where_drawn(schematic: Picture | None) -> PaperBlock:
    """Where the drawing with the tag numbers is found; a sheet on its side would part the text."""
    where = (
        WORDS.say("where_drawn.last_page")
        if schematic
        else WORDS.say("where_drawn.sheet_that_name")
    )
    return paragraph(WORDS.say("where_drawn.schematic_with_its_tag", where=where))


def _controls(found: Joined, sizes: Sizes) -> list[PaperBlock]:
    said = [
        filled_as_known(row["says"], thing, sizes=sizes)
        for row, thing in needed(rows("manual_controls"), found)
    ]
    lines = [marked("-", f"{words[:1].upper()}{words[1:]}") for words in dict.fromkeys(said)]
    return [Part(WORDS.say("controls.how_it_controls_itself")), *lines]


def _schedules(answer: Plain, sizes: Sizes) -> list[PaperBlock]:
    """Operation, sampling, inspection, reporting."""
    looked = [
        (one["what"], count(one["every_days"], "day"), day_in_words(one["next"]))
        for one in answer["rules"]["inspections"]
    ]
    changed = [
        (
            WORDS.say("schedules.on", name=one["name"], line=line["name"]),
            count(one["every_days"], "day"),
            "-",
        )
        for line in answer["treatment"]["lines"]
        for one in line["cartridges"]
        if one["every_days"]
    ]
    report = [
        (one["name"], one["by"]) for one in answer["rules"]["papers"] if one["when"] == "each year"
    ]
    return [
        Part(WORDS.say("schedules")),
        heading(WORDS.say("schedules.operation")),
        paragraph(WORDS.say("schedules.read_level_once_week")),
        *upkeep_section(answer, sizes),
        *water_tests_section(answer, sizes),
        heading(WORDS.say("schedules.inspection_change")),
        ruled(WORDS.several("schedules.head"), [*looked, *changed]),
        heading(WORDS.say("schedules.reporting")),
        ruled(("report", "by"), report, names=(0, 1)) if report else _asks_none(answer),
    ]


def _asks_none(answer: Plain) -> PaperBlock:
    return paragraph(
        WORDS.say("asks_none.no_yearly_report_named", authority=answer["rules"]["authority"])
    )
