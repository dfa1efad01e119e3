"""Where water is sampled, and whom to ask for a part: mostly left to write."""

from collections.abc import Iterator
from typing import Any

from eavewell.papers.paper import Ledger, PaperBlock
from eavewell.report.blocks import heading, paragraph
from eavewell.tables.texts import words

WORDS = words("owners_manual")
Plain = dict[str, Any]
POINTS = WORDS.several("contacts.points")
PARTS = WORDS.several("contacts.parts")
PEOPLE = WORDS.several("contacts.people")


def sampling_points(answer: Plain) -> list[PaperBlock]:
    """Test points on the lines, and the taps of lines that are drunk from."""
    lines = answer["things"]["lines"]
    drunk = {line["name"] for line in answer["treatment"]["lines"] if line["drinks"]}
    points = [
        WORDS.say("contacts.sampling_points.on", name=one["name"], line=line["name"])
        for line in lines
        for one in line["in_line"]
        if one["kind"] == "test point"
    ]
    taps = [
        WORDS.say("contacts.sampling_points.on", name=one["name"], line=line["name"])
        for line in lines
        if line["name"] in drunk
        for one in line["outlets"]
        if "sink" in one["fixture"]
    ]
    tanks = [
        WORDS.say("contacts.sampling_points.tank_from_its_outlet", name=one["name"])
        for one in answer["things"]["tanks"]
    ]
    rows = tuple((words, "", "") for words in (*points, *taps, *tanks))
    none = (
        [] if points else [paragraph(WORDS.say("contacts.sampling_points.no_test_point_between"))]
    )
    return [
        heading(WORDS.say("contacts.sampling_points")),
        Ledger(POINTS, rows, (2.4, 2.4, 2.0)),
        *none,
    ]


def contacts(answer: Plain) -> list[PaperBlock]:
    """Makers and sellers of the parts that wear, and the people to call."""
    parts = tuple((words, "", "", "") for words in dict.fromkeys(_wear(answer["things"])))
    people = tuple((words, "", "") for words in _people(answer))
    return [
        heading(WORDS.say("contacts.whom_ask_for_parts")),
        Ledger(PARTS, parts, (2.0, 2.0, 1.4, 2.2)),
        heading(WORDS.say("contacts.whom_call")),
        Ledger(PEOPLE, people, (2.2, 2.4, 2.2)),
    ]


def _wear(things: Plain) -> Iterator[str]:
    for one in things["tanks"]:
        yield WORDS.say("contacts.wear.tank", name=one["name"])
    for one in things["lifts"]:
        yield WORDS.say("contacts.wear.pump", name=one["name"])
    for one in things["lines"]:
        if one["pump"]:
            yield WORDS.say("contacts.wear.pump", name=one["name"])
        if one["pressure_tank_l"]:
            yield WORDS.say("contacts.wear.pressure_tank", name=one["name"])
        yield from (
            WORDS.say("contacts.wear.on", name=passed["name"], of=one["name"])
            for passed in one["in_line"]
        )


def _people(answer: Plain) -> Iterator[str]:
    yield from WORDS.several("contacts.people.installer_licensed_plumber")
    if any(one["pump"] for one in (*answer["things"]["lines"], *answer["things"]["lifts"])):
        yield WORDS.say("contacts.people.licensed_electrician")
    if answer["things"]["hauled"]:
        yield WORDS.say("contacts.people.water_truck")
    if answer["treatment"]["tests"]:
        yield from WORDS.several("contacts.people.certified_laboratory_health")
    if answer["things"]["make_up"]:
        yield WORDS.say("contacts.people.licensed_backflow_tester")
    yield WORDS.say("contacts.people.authority_having_jurisdiction")
