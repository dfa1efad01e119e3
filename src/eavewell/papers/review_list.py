"""The authority's papers in its own order: which paper answers each, and what is missing."""

from typing import Any

from eavewell.answers.shown import Sizes, listed
from eavewell.answers.shown import day as day_in_words
from eavewell.papers.paper import Ledger, PaperBlock
from eavewell.report.blocks import heading, paragraph
from eavewell.tables import rows
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("review_pack")
Plain = dict[str, Any]
PAPERS = WORDS.several("list.papers")
PAPER_WIDTHS = (0.5, 2.5, 1.3, 2.2, 2.9, 1.3)
TRIGGERS = WORDS.several("list.triggers")
TRIGGER_WIDTHS = (1.6, 1.6, 1.6, 2.2, 3.4)
SETBACKS = ("of", "to", "least", "is", "")
SETBACK_WIDTHS = (2.0, 2.0, 1.0, 1.0, 1.0)
MET = {True: "yes", False: "no", None: "unknown"}
KEPT = {
    True: WORDS.say("list.kept"),
    False: WORDS.say("list.too_near"),
    None: WORDS.say("list.missing"),
}
OPEN = "missing"
LOW_MM = 3.0


def asked_papers(rules: Plain) -> list[PaperBlock]:
    """Every paper of the list; missing where it is not given and nothing in this set answers it."""
    lines = [
        (
            f"{number}",
            one["name"],
            _when(one),
            one["by"],
            answered_by(one["name"]) or WORDS.say("list.asked_papers.nothing_here_owner_adds"),
            _state(one),
        )
        for number, one in enumerate(rules["papers"], 1)
    ]
    if not lines:
        return [paragraph(WORDS.say("list.asked_papers.these_rules_ask_for"))]
    missing = [line[0] for line in lines if line[-1] == OPEN]
    says = (
        WORDS.say("list.asked_papers.missing", missing=listed(missing))
        if missing
        else WORDS.say("list.asked_papers.none_them_missing")
    )
    return [paragraph(says), Ledger(PAPERS, tuple(lines), PAPER_WIDTHS, LOW_MM)]


def answered_by(name: str) -> str:
    """Which paper of this set answers it; "" for none."""
    found = (row["answered"] for row in rows("review_answers") if row["words"] in name.lower())
    return next(found, "")


def met_triggers(rules: Plain, sizes: Sizes) -> Ledger:
    """Every trigger with what it measures, met or not."""
    lines = [
        (
            one["name"],
            _met(one),
            _measured(one, sizes),
            one["asks"] if one["met"] is not False else "-",
            one["source"],
        )
        for one in rules["triggers"]
    ]
    return Ledger(TRIGGERS, tuple(lines), TRIGGER_WIDTHS, LOW_MM)


def distances(rules: Plain, sizes: Sizes) -> list[PaperBlock]:
    """Least distances, with those that nobody has measured marked missing."""
    lines = [
        (
            one["of"],
            one["to"],
            show(one["least_m"], "length", system=sizes.system),
            "-" if one["known_m"] is None else show(one["known_m"], "length", system=sizes.system),
            KEPT[one["kept"]],
        )
        for one in rules["setbacks"]
    ]
    found = Ledger(SETBACKS, tuple(lines), SETBACK_WIDTHS, LOW_MM)
    return [heading(WORDS.say("list.distances.least_distances")), found] if lines else []


def _when(one: Plain) -> str:
    return f"{one['when']}, {day_in_words(one['due'])}" if one["due"] else one["when"]


def _state(one: Plain) -> str:
    """Given on its day, drafted in this set, or missing; a day that is past is said too."""
    if one["state"] == "done":
        return WORDS.say("list.state.given", done=day_in_words(one["done"]))
    if one["state"] == "open":
        return _drafted(answered_by(one["name"]))
    return f"{one['state']}"


def _drafted(answered: str) -> str:
    if answered.startswith("commissioning"):
        return WORDS.say("list.drafted.test_not_made")
    return WORDS.say("list.drafted.drafted_not_given") if answered else OPEN


def _met(one: Plain) -> str:
    met = MET[one["met"]]
    things = one["things"] if one["met"] else one["unknown"] if one["met"] is None else []
    return f"{met}: {listed(things)}" if things else met


def _measured(one: Plain, sizes: Sizes) -> str:
    if one["measured"] is None or one["above"] is None:
        return "-"
    if one["unit"] == "L":
        return ", ".join(sizes.volume(one[key]) for key in ("measured", "above"))
    return ", ".join(f"{one[key]:.3g}" for key in ("measured", "above"))
