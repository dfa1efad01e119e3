"""The run card of the drip lines: how long to run each one, what its plants get, its filter.

Half a letter sheet or A5, for the shed wall; every figure is one of the answers.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from eavewell.drawings.compose import MARGIN_MM, size_mm
from eavewell.drawings.letters import shortened, width_mm, wrapped
from eavewell.drawings.marks import HEADING_MM, LETTER_MM, Mark, Point, Sheet, Stroke, Text, View
from eavewell.drawings.tags import tags
from eavewell.site.outlet import Lateral
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
SIZES = {"us": "half letter", "metric": "a5"}
A_CARD, HEAD_MM, BLOCK_MM, FOOT_MM, LARGEST = 3, 14.0, 28.5, 19.0, 1.9
NAME_MM, TIME_MM = 3.4, 4.4
ADVICE = WORDS.say("run_card.advice")


@dataclass(frozen=True, slots=True)
class Run:
    """One drip line of the card.

    found : its answer; None where it was not worked out, for the reason in `why`.
    """

    lateral: Lateral
    valve: int | None
    found: Mapping[str, Any] | None
    why: str = ""


def run_card(site: Site, answer: Mapping[str, Any], *, block: dict[str, str]) -> tuple[Sheet, ...]:
    """As many cards as the drip lines need, three on each; none where there is no drip line.

    answer : the design as plain data. block : words at the foot, such as record and date.
    """
    runs, size = tuple(_runs(site, answer)), SIZES[site.place.show]
    groups = [runs[first : first + A_CARD] for first in range(0, len(runs), A_CARD)]
    return tuple(
        Sheet(
            f"run-card-{number}",
            WORDS.say("run_card.page.drip_run_card"),
            size,
            (
                View(
                    "card", tuple(_card(site, group, size=size, block=block)), 1.0, 1.0, in_mm=True
                ),
            ),
            says=WORDS.say("run_card.page.run_times_drip_lines", name=site.name),
        )
        for number, group in enumerate(groups, 1)
    )


def _runs(site: Site, answer: Mapping[str, Any]) -> Iterator[Run]:
    found = {
        (line["name"], lateral["name"]): lateral
        for line in answer["hydraulics"]["gravity"]
        for lateral in line["laterals"]
    } | {
        (line["name"], drip["name"]): drip
        for line in answer["hydraulics"]["service"]
        for drip in line["drip"]
    }
    valves = {tag.name: tag.number for tag in tags(site) if tag.kind == "outlet valve"}
    for line in site.lines:
        for lateral in line.laterals:
            here = found.get((line.name, lateral.name))
            why = WORDS.say("run_card.runs.level_unknown")
            if line.pump is not None and lateral.level_m is not None:
                why = WORDS.say("run_card.runs.its_pump_does_not")
            yield Run(lateral, valves.get(line.name), here, "" if here else why)


def _card(site: Site, runs: Sequence[Run], *, size: str, block: dict[str, str]) -> Iterator[Mark]:
    width, height = size_mm(size)
    left, right = MARGIN_MM, width - MARGIN_MM
    top, low = height - MARGIN_MM, MARGIN_MM
    corners = ((left, low), (left, top), (right, top), (right, low))
    yield Stroke("frame", corners, closed=True)
    yield Text(
        "text",
        (left + 4.0, top - 6.6),
        WORDS.say("run_card.card.drip_run_card"),
        HEADING_MM,
        bold=True,
    )
    yield Text("text", (left + 4.0, top - 12.0), shortened(site.name, 60))
    yield Text(
        "text", (right - 4.0, top - 12.0), WORDS.say("run_card.card.run_for"), anchor="right"
    )
    larger = min((top - HEAD_MM - low - FOOT_MM) / (len(runs) * BLOCK_MM), LARGEST)
    for at, run in enumerate(runs):
        y = top - HEAD_MM - BLOCK_MM * larger * at
        yield Stroke("frame", ((left, y), (right, y)))
        for mark in _run(run, right=(right - left - 8.0) / larger, system=site.place.show):
            yield _placed(mark, (left + 4.0, y), by=larger)
    yield from _foot(left, low, right=right, block=block)


def _placed(mark: Text, at: Point, *, by: float) -> Text:
    """Words of one line of the card where they stand, larger where there is room."""
    (x, y), (dx, dy) = at, mark.at
    return replace(mark, at=(x + dx * by, y + dy * by), capital_mm=mark.capital_mm * by)


def _run(run: Run, *, right: float, system: Show) -> Iterator[Text]:
    """From the upper left corner of its block."""
    hours = run.found["hours"] if run.found else None
    layer = "text" if hours is not None else "unknown"
    said = _time(hours) if hours is not None else WORDS.say("run_card.run.time_unknown")
    yield Text(layer, (right, -6.4), said, TIME_MM, "right", bold=True)
    room = right - width_mm(said, TIME_MM) - 4.0
    yield Text("text", (0.0, -6.4), _named(run.lateral.name, room), NAME_MM, bold=True)
    lines = (_what(run, system), *_gets(run, system), _filter(run.lateral, system))
    for row, words in enumerate(lines):
        yield Text("text", (0.0, -11.6 - 4.4 * row), words)


def _named(name: str, most_mm: float) -> str:
    """A name as long as its room."""
    fitting = (shortened(name, most) for most in range(36, 4, -1))
    return next((one for one in fitting if width_mm(one, NAME_MM) <= most_mm), "...")


def _time(hours: float) -> str:
    """Hours and minutes, never fewer than what is worked out."""
    minutes = -int(-hours * 60.0 // 1.0)
    return (
        WORDS.say("run_card.time.h_min", hours=minutes // 60, minutes=minutes % 60)
        if minutes >= 60
        else WORDS.say("run_card.time.min", minutes=minutes)
    )


def _what(run: Run, system: Show) -> str:
    wants = WORDS.say("run_card.what.plants_day_unknown")
    if run.lateral.plant_l_day is not None:
        wants = WORDS.say(
            "run_card.what.each_on_peak_day",
            plant_l_day=show(run.lateral.plant_l_day, "daily", system=system),
        )
    what = WORDS.say("run_card.what.plants", plants=run.lateral.plants, wants=wants)
    if run.valve is None:
        return what
    return WORDS.say("run_card.what.valve", valve=run.valve, what=what)


def _gets(run: Run, system: Show) -> Iterator[str]:
    """What the first and the last plant get, tank full and low."""
    if run.found is None:
        yield WORDS.say("run_card.gets.not_worked_out", why=run.why)
        return
    said = {
        "full": WORDS.say("run_card.gets.full"),
        "low": WORDS.say("run_card.gets.low"),
        "most": WORDS.say("run_card.gets.most"),
        "least": WORDS.say("run_card.gets.least"),
    }
    for key, when in said.items():
        if key in run.found:
            flows = run.found[key]["plant_l_h"]
            first, last = (show(flows[end], "bleed", system=system) for end in (0, -1))
            yield WORDS.say("run_card.gets.first_plant_last", when=when, first=first, last=last)


def _filter(lateral: Lateral, system: Show) -> str:
    if lateral.mesh_mm is None:
        return WORDS.say("run_card.filter.filter_unknown")
    if lateral.mesh_mm == 0.0:
        return WORDS.say("run_card.filter.no_filter_its_emitters")
    return WORDS.say(
        "run_card.filter.filter_before_it_openings",
        mesh=show(lateral.mesh_mm, "mesh", system=system),
    )


def _foot(left: float, low: float, *, right: float, block: dict[str, str]) -> Iterator[Mark]:
    yield Stroke("frame", ((left, low + FOOT_MM), (right, low + FOOT_MM)))
    lines = wrapped(ADVICE, LETTER_MM, most_mm=right - left - 8.0, weight="Medium")
    for row, line in enumerate(lines[:3]):
        yield Text("text", (left + 4.0, low + FOOT_MM - 4.0 - 3.9 * row), line)
    words = "; ".join(said for label, said in block.items() if label != "project")
    yield Text("text", (left + 4.0, low + 2.2), shortened(words, 96))
