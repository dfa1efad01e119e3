"""The first day on site: every size that is unknown, with room to write it."""

from collections.abc import Iterator
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.paper import Ledger, PaperBlock, Part
from eavewell.report.blocks import paragraph
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("first_day")
Plain = dict[str, Any]
HEAD = WORDS.several("head")
WIDTHS, LOW_MM = (2.2, 3.2, 1.8, 1.9, 1.6), 5.0
# what the whole job hangs on is measured again even where it is known
AGAIN = (
    "overflow",
    "spillway",
    "gutter outlet",
    "inlet",
    "lowest floor",
)
# what a tape can tell of each kind of thing
TAPED = {
    "tanks": {
        "width_m": WORDS.say("taped.width_m"),
        "height_m": WORDS.say("taped.height_m"),
        "base": WORDS.say("taped.base"),
        "base_edge_m": WORDS.say("taped.base_edge_m"),
        "inlet_mm": WORDS.say("taped.inlet_mm"),
        "overflow_mm": WORDS.say("taped.overflow_mm"),
        "vent_mm": WORDS.say("taped.vent_mm"),
        "mesh_mm": WORDS.say("taped.mesh_mm"),
        "overflow_to": WORDS.say("taped.overflow_to"),
    },
    "pipes": {"cover_m": WORDS.say("taped.cover_m")},
    "lines": {"bore_mm": "bore"},
}
KINDS = {"tanks": "tank", "pipes": "pipe", "lines": "line"}
NOT_OF_SUMPS = ("base", "base_edge_m", "inlet_mm", "vent_mm", "mesh_mm")
NOT_TAPED = ("storm", "flow of")


def first_day(answer: Plain, sizes: Sizes, *, verify: tuple[str, ...] = ()) -> list[PaperBlock]:
    """Levels and sizes to measure before work begins.

    verify : what is boxed on the sheets, as "thing: what"; () looks through the answer instead.
    """
    lines = [
        *_again(answer, sizes),
        *(_boxed(verify) if verify else (*_levels(answer), *_things(answer["things"]))),
        *_unknown(answer["hydraulics"]),
        *_setbacks(answer),
    ]
    return [
        Part(WORDS.say("page.first_day_on_site")),
        paragraph(WORDS.say("page.measure_before")),
        Ledger(HEAD, tuple((*line, "", "") for line in dict.fromkeys(lines)), WIDTHS, LOW_MM),
    ]


def _again(answer: Plain, sizes: Sizes) -> Iterator[tuple[str, str, str]]:
    for one in answer["hydraulics"]["levels"]:
        if one["level_m"] is not None and one["point"] in AGAIN:
            drawn = show(one["level_m"], "level", system=sizes.system)
            yield one["thing"], WORDS.say("again.level", point=one["point"]), drawn


def _boxed(verify: tuple[str, ...]) -> Iterator[tuple[str, str, str]]:
    for line in verify:
        thing, _, what = line.partition(": ")
        yield thing, what, "boxed"


def _levels(answer: Plain) -> Iterator[tuple[str, str, str]]:
    for one in answer["hydraulics"]["levels"]:
        if one["level_m"] is None:
            yield one["thing"], WORDS.say("levels.level", point=one["point"]), "unknown"


def _things(things: Plain) -> Iterator[tuple[str, str, str]]:
    for kind, asked in TAPED.items():
        for one in things[kind]:
            for key, what in asked.items():
                if one[key] in (None, "") and not (one.get("is_sump") and key in NOT_OF_SUMPS):
                    yield f"{_kind(kind, one)} '{one['name']}'", what, "unknown"
    for roof in things["roofs"]:
        for gutter in roof["gutters"]:
            if gutter["fall"] is None:
                yield WORDS.say("things.gutter", name=gutter["name"]), "fall", "unknown"


def _kind(kind: str, one: Plain) -> str:
    return "sump" if one.get("is_sump") else KINDS[kind]


def _unknown(water: Plain) -> Iterator[tuple[str, str, str]]:
    kinds = (("tank", "tanks"), ("lift", "lifts"), ("line", "service"), ("line", "gravity"))
    for kind, key in kinds:
        for one in water[key]:
            for what in one["unknown"]:
                if not any(words in what for words in NOT_TAPED):
                    yield f"{kind} '{one['name']}'", what, "unknown"


def _setbacks(answer: Plain) -> Iterator[tuple[str, str, str]]:
    for one in answer["rules"]["setbacks"]:
        if one["known_m"] is None:
            yield one["of"], WORDS.say("setbacks.distance", to=one["to"]), "unknown"
