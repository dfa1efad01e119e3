"""The worst spell of many roofs in words: on each record, of its mean roof, with its dates."""

from collections.abc import Iterator, Mapping
from typing import Any

from eavewell.answers.shown import count, short_run
from eavewell.answers.shown import spell as between
from eavewell.tables.texts import words

WORDS = words("programme")
# records with most roofs of which it is told
MOST_RECORDS = 3
# a longer run of short days is told as more than a year
A_YEAR_DAYS = 365


def run_in_words(days: int | None) -> str:
    """The longest run of short days that half of the roofs stay within; a dash where unknown."""
    if days is None:
        return "-"
    return WORDS.say("run.long") if days > A_YEAR_DAYS else count(days, "day")


def spell_words(told: Mapping[str, Any], days: int | None) -> Iterator[str]:
    """How long half of the roofs go short at their worst, and when a mean roof does.

    told : a programme as plain data; what rests on few roofs is not told. days : at its size.
    """
    if days is not None:
        yield WORDS.say("answer.runs", run=run_in_words(days))
    every = told["peak"]["spells"] if told["peak"] else ()
    spells = {one["record"]: one for one in every if one["roofs"] >= told["few"]}
    named = [one for one in told["records"] if one["sizes"] and one["name"] in spells]
    for line in sorted(named, key=lambda one: -one["roofs"])[:MOST_RECORDS]:
        one = spells[line["name"]]
        yield WORDS.say(
            "answer.spell",
            record=one["record"],
            dates=between(one["first"], one["last"]),
            days=short_run(one["short_days"], one["first"], last=one["last"]),
        )
