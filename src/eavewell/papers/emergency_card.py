"""The emergency card: no power, fire, ash, germs, a leak; and whom to call."""

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.filled import filled, needed
from eavewell.papers.paper import Form, Paper, PaperBlock
from eavewell.papers.tank_card import NEVER, wall_paper
from eavewell.papers.wall_blocks import Large, Points
from eavewell.papers.wall_things import wall_things
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("emergency_card")
Plain = dict[str, Any]
TITLES: Mapping[str, str] = MappingProxyType(
    {
        "power": WORDS.say("titles.power"),
        "fire": WORDS.say("titles.fire"),
        "ash": WORDS.say("titles.ash"),
        "boil": WORDS.say("titles.boil"),
        "leak": WORDS.say("titles.leak"),
    }
)
# left to write in: no paper knows a number that the site file does not
CALL = WORDS.several("call")
CALL_MORE = WORDS.several("call_more")


def emergency_card_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """One page in large letters."""
    sizes = Sizes(system)
    found = wall_things(answer, sizes)
    told: dict[str, list[str]] = {}
    for row, thing in needed(rows("emergency"), found):
        said = filled(row["says"], thing, sizes=sizes)
        if said is not None:
            told.setdefault(row["when"], []).append(said)
    blocks: list[PaperBlock] = [Large(NEVER, "rust", size_pt=15.0)]
    for when, title in TITLES.items():
        if when in told:
            blocks += [Large(title, "blue", size_pt=14.0), Points(tuple(told[when]), size_pt=11.5)]
        if when == "fire" and any(tank["fire_reserve_l"] for tank in answer["cards"]["tanks"]):
            blocks.append(Form((WORDS.say("page.fire_coupling"),)))
    blocks += [
        Large(WORDS.say("page.call"), "blue", size_pt=14.0),
        Form((*CALL, *_truck(answer), *CALL_MORE[1:])),
    ]
    named = ("emergency-card", WORDS.say("page.emergency_card"))
    return wall_paper(answer, blocks, named=named, day=day, system=system)


def _truck(answer: Plain) -> tuple[str, ...]:
    return CALL_MORE[:1] if answer["things"]["hauled"] else ()
