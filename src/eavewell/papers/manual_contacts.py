"""Where water is sampled, and whom to ask for a part: mostly left to write."""

from collections.abc import Iterator
from typing import Any

from eavewell.papers.paper import Ledger, PaperBlock
from eavewell.report.blocks import heading, paragraph

Plain = dict[str, Any]
POINTS = ("sampling point", "where it is", "how it is flushed")
PARTS = ("part", "maker, model", "serial number", "bought from, phone")
PEOPLE = ("who", "name", "phone, day or night")


def sampling_points(answer: Plain) -> list[PaperBlock]:
    """Test points on the lines, and the taps of lines that are drunk from."""
    lines = answer["things"]["lines"]
    drunk = {line["name"] for line in answer["treatment"]["lines"] if line["drinks"]}
    points = [
        f"{one['name']} on '{line['name']}'"
        for line in lines
        for one in line["in_line"]
        if one["kind"] == "test point"
    ]
    taps = [
        f"{one['name']} on '{line['name']}'"
        for line in lines
        if line["name"] in drunk
        for one in line["outlets"]
        if "sink" in one["fixture"]
    ]
    tanks = [f"tank '{one['name']}', from its outlet" for one in answer["things"]["tanks"]]
    rows = tuple((words, "", "") for words in (*points, *taps, *tanks))
    none = [] if points else [paragraph("No test point between the barriers is described.")]
    return [heading("Sampling points"), Ledger(POINTS, rows, (2.4, 2.4, 2.0)), *none]


def contacts(answer: Plain) -> list[PaperBlock]:
    """Makers and sellers of the parts that wear, and the people to call."""
    parts = tuple((words, "", "", "") for words in dict.fromkeys(_wear(answer["things"])))
    people = tuple((words, "", "") for words in _people(answer))
    return [
        heading("Whom to ask for parts"),
        Ledger(PARTS, parts, (2.0, 2.0, 1.4, 2.2)),
        heading("Whom to call"),
        Ledger(PEOPLE, people, (2.2, 2.4, 2.2)),
    ]


def _wear(things: Plain) -> Iterator[str]:
    for one in things["tanks"]:
        yield f"tank '{one['name']}'"
    for one in things["lifts"]:
        yield f"pump of '{one['name']}'"
    for one in things["lines"]:
        if one["pump"]:
            yield f"pump of '{one['name']}'"
        if one["pressure_tank_l"]:
            yield f"pressure tank of '{one['name']}'"
        yield from (f"{passed['name']} on '{one['name']}'" for passed in one["in_line"])


def _people(answer: Plain) -> Iterator[str]:
    yield from ("installer", "licensed plumber")
    if any(one["pump"] for one in (*answer["things"]["lines"], *answer["things"]["lifts"])):
        yield "licensed electrician"
    if answer["things"]["hauled"]:
        yield "water truck"
    if answer["treatment"]["tests"]:
        yield from ("certified laboratory", "health department")
    if answer["things"]["make_up"]:
        yield "licensed backflow tester"
    yield "authority having jurisdiction"
