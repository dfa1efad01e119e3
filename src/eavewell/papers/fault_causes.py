"""Causes of a symptom that a site can have, each with its check and the number to expect."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.filled import filled, filled_as_known, needed
from eavewell.papers.joined import Joined
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("fault_causes")
Plain = dict[str, Any]
Row = Mapping[str, str]
# more things of a kind than this are told by the word of the table, not one by one
MOST_NAMED = 6


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause of a symptom.

    rank   : in tables/faults.csv, 1 for the likeliest; number : among those of this site, as the
             fault page prints it. of : kind of thing that it befalls.
    things : of this site, by name; () where the kind has no names. check : what is looked at.
    expect : what this design should show, or what to measure while all is well.
    """

    symptom: str
    rank: int
    number: int
    of: str
    things: tuple[str, ...]
    says: str
    check: str
    expect: tuple[str, ...]


def causes(found: Joined, *, sizes: Sizes) -> dict[str, tuple[Cause, ...]]:
    """Every symptom whose causes a site can have, with these causes, the likeliest first.

    found : the things of a design, as the wall cards tell them.
    """
    told = {}
    for symptom, group in groupby(rows("faults"), key=lambda row: row["symptom"]):
        kept = [one for row in group if (one := _cause(row, found, sizes=sizes))]
        if kept:
            told[symptom] = tuple(replace(one, number=at) for at, one in enumerate(kept, 1))
    return told


def _cause(row: Row, found: Joined, *, sizes: Sizes) -> Cause | None:
    """None where the site has nothing of the kind."""
    things = [thing for _, thing in needed((row,), found)]
    if not things:
        return None
    return Cause(
        symptom=row["symptom"],
        rank=int(row["rank"]),
        number=0,
        of=row["of"],
        things=tuple(name for thing in things if (name := _name(thing))),
        says=row["cause"],
        check=filled_as_known(row["check"], things[0], sizes=sizes),
        expect=tuple(_expected(row, things, sizes=sizes)),
    )


def _expected(row: Row, things: list[Plain], *, sizes: Sizes) -> Iterator[str]:
    """What each thing should show; where it is unknown, what to measure."""
    unknown = []
    for thing in things[:MOST_NAMED]:
        said = filled(row["expect"], thing, sizes=sizes)
        if said is None:
            unknown.append(filled_as_known(row["measure"], thing, sizes=sizes))
        else:
            yield _named(said, thing, among=things)
    for one in dict.fromkeys(unknown):
        yield WORDS.say("expected.unknown_measure", one=one)
    if len(things) > MOST_NAMED:
        yield WORDS.say("expected.more_design_report", things=len(things) - MOST_NAMED)


def _name(thing: Plain) -> str:
    return thing.get("name") or thing.get("roof") or thing.get("tank") or ""


def _named(said: str, thing: Plain, *, among: list[Plain]) -> str:
    name = _name(thing)
    return f"{name}: {said}" if len(among) > 1 and name and name not in said else said
