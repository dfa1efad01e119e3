"""The wall with filters and lamp, in the order of flow, with the valve that stays shut."""

from collections.abc import Iterator, Sequence

from eavewell.drawings.detail import Detail
from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import Arc, Mark, Stroke, Symbol, Text
from eavewell.drawings.tags import Tag, tags
from eavewell.site.barrier import Lamp
from eavewell.site.line import InLine, Line
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
STEP_M, FIRST_M, HALF_M, BY_M, RING_M = 0.4, 0.3, 0.1, 0.28, 0.11
NOT_THE_ENDS = ("tap", "hose", "appliance", "drip line", "drip filter", "float valve", "line valve")


def walls(site: Site) -> Iterator[Detail]:
    """Every line with something in it that treats its water."""
    numbered = tags(site)
    for line in site.lines:
        if line.in_line:
            mine = [
                tag
                for tag in numbered
                if tag.of == f"line {line.name}" and tag.kind not in (*NOT_THE_ENDS, "bypass")
            ]
            by = {tag.name: tag for tag in numbered if tag.kind == "bypass"}
            marks = tuple(_wall(line, mine, bypasses=by))
            notes = tuple(_notes(line, system=site.place.show))
            yield Detail(
                WORDS.say("details_wall.walls.filter_lamp_wall", name=shortened(line.name)),
                marks,
                notes,
                scaled=False,
            )


def _wall(line: Line, mine: Sequence[Tag], *, bypasses: dict[str, Tag]) -> Iterator[Mark]:
    of, x = f"line {line.name}", 0.0
    for at, tag in enumerate(mine):
        place = FIRST_M + STEP_M * at
        yield Stroke("pipe", ((x, 0.0), (place - HALF_M, 0.0)), of=of)
        yield Symbol("fitting", (place, 0.0), tag.symbol, 7.0, of=of)
        yield from _ring(tag, (place, 0.27))
        words = tag.kind if tag.name == line.name else tag.name
        yield Text(
            "text",
            (place + 0.03, -0.22),
            shortened(words, 18),
            anchor="right",
            turned_deg=90.0,
            of=of,
        )
        bypass = bypasses.get(f"round {tag.name}")
        if bypass is not None:
            yield from _around(bypass, place, of=of)
        x = place + HALF_M
    yield Stroke("pipe", ((x, 0.0), (x + 0.3, 0.0)), of=of)
    yield Symbol("pipe", (x + 0.3, 0.0), "flow", 4.0, of=of)
    yield Text("text", (x + 0.06, -0.2), WORDS.say("details_wall.wall.taps"), of=of)


def _around(bypass: Tag, place: float, *, of: str) -> Iterator[Mark]:
    near, far = place - 0.16, place + 0.16
    way = ((near, 0.0), (near, 0.5), (far, 0.5), (far, 0.0))
    yield Stroke("unknown", way, of=of)
    yield Symbol("fitting", (place, 0.5), "valve", 4.0, of=of)
    yield from _ring(bypass, (place, 0.68))


def _ring(tag: Tag, at: tuple[float, float]) -> Iterator[Mark]:
    """A number in its ring; at this scale a metre is as wide as the wall allows."""
    yield Arc("fitting", at, RING_M, of=tag.of)
    yield Text(
        "text", (at[0], at[1] - 0.04), str(tag.number), anchor="middle", bold=True, of=tag.of
    )


def _notes(line: Line, *, system: Show) -> Iterator[str]:
    yield WORDS.say("details_wall.notes.order_flow_room_below")
    for thing in line.in_line:
        if isinstance(thing.works, Lamp):
            yield _lamp_words(thing, thing.works, system=system)
        if thing.bypass:
            yield WORDS.say("details_wall.notes.bypass_round_keep_shut", name=shortened(thing.name))


def _lamp_words(thing: InLine, lamp: Lamp, *, system: Show) -> str:
    flow = (
        WORDS.say(
            "details_wall.lamp_words.at_most", most=show(thing.most_l_s, "flow", system=system)
        )
        if thing.most_l_s
        else ""
    )
    shut = {
        True: WORDS.say("details_wall.lamp_words.valve_before_it_stays"),
        False: WORDS.say("details_wall.lamp_words.no_valve_shuts_without"),
        None: WORDS.say("details_wall.lamp_words.valve_that_shuts_without"),
    }[lamp.shut_valve]
    return WORDS.say(
        "details_wall.lamp_words.nothing_untreated_joins_after",
        name=shortened(thing.name),
        flow=flow,
        shut=shut,
    )
