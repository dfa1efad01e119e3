"""The map of a district: squares drawn as tanks, filled as far as their roofs are supplied."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from eavewell.drawings.boxes import Box
from eavewell.drawings.marks import (
    HEADING_MM,
    Hatch,
    Leader,
    Mark,
    Point,
    Sheet,
    Stroke,
    Symbol,
    Text,
    View,
)
from eavewell.drawings.pieces import box, filled
from eavewell.drawings.scales import BAR_PARTS, Scale, extent, largest_scale, scale_bar
from eavewell.drawings.title_block import framed, room_of
from eavewell.site.place import Show
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("district_map")
KM_DEGREE = 111.195
LEGEND_MM, KEY_MM, GAUGE_MM = 62.0, 7.0, 4.0
MOST_GAUGES = 40


@dataclass(frozen=True, slots=True)
class MapSquare:
    """A square by its edges in degrees. supplied_share : of a mean roof."""

    west: float
    south: float
    east: float
    north: float
    supplied_share: float


@dataclass(frozen=True, slots=True)
class MapGauge:
    """A rain gauge by its place in degrees."""

    name: str
    latitude: float
    longitude: float


@dataclass(frozen=True, slots=True)
class DistrictMap:
    """What is drawn.

    size_l : of the tank. wide_km, high_km : of a square. few : squares of fewer roofs are not
    there.
    invented : whether any gauge has an invented record.
    """

    name: str
    size_l: float
    wide_km: float
    high_km: float
    few: int
    squares: tuple[MapSquare, ...]
    gauges: tuple[MapGauge, ...] = ()
    invented: bool = False


def district_map(shown: DistrictMap, *, size: str, system: Show, block: dict[str, str]) -> Sheet:
    """One sheet, ink and one blue, with no map below it.

    size : a row of tables/sheet_sizes.csv. block : words of the title block.
    """
    room = room_of(size)
    room = Box(room.left - 24.0, room.low, room.right - LEGEND_MM + 24.0, room.high + 8.0)
    turn = _Flat(shown.squares)
    marks = (*_squares(shown, turn), *_gauges(shown, turn))
    seen = extent([mark for mark in marks if not isinstance(mark, Leader)])
    scale = largest_scale(
        seen.right - seen.left,
        seen.high - seen.low,
        room=room,
        system=system,
        table="map_scales",
    )
    at = (
        (room.left + room.right - scale.mm_m * (seen.left + seen.right)) / 2.0,
        (room.low + room.high - scale.mm_m * (seen.low + seen.high)) / 2.0,
    )
    within = (room.left, room.low, room.right, room.high)
    view = View("map", marks, scale.mm_m, scale.mm_m, at, within)
    beside = tuple(_beside(shown, scale, room=room, system=system))
    around = View("legend", beside, 1.0, 1.0, in_mm=True)
    words = {
        WORDS.say("block.sheet"): WORDS.say("title"),
        **block,
        WORDS.say("block.tank"): show(shown.size_l, "volume", system=system),
        WORDS.say("block.scale"): scale.called,
    }
    says = _says(shown, system)
    return framed(
        Sheet("map", WORDS.say("title"), size, (view, around), tuple(words.items()), says)
    )


class _Flat:
    """Degrees as metres from the middle of the squares, true along its latitude."""

    def __init__(self, squares: Sequence[MapSquare]) -> None:
        self.latitude = (min(s.south for s in squares) + max(s.north for s in squares)) / 2.0
        self.longitude = (min(s.west for s in squares) + max(s.east for s in squares)) / 2.0
        self.across = 1000.0 * KM_DEGREE * math.cos(math.radians(self.latitude))

    def at(self, longitude: float, latitude: float) -> Point:
        x, y = longitude - self.longitude, latitude - self.latitude
        return self.across * x, 1000.0 * KM_DEGREE * y


def _squares(shown: DistrictMap, turn: _Flat) -> Iterator[Mark]:
    for at, one in enumerate(shown.squares):
        (left, low), (right, high) = turn.at(one.west, one.south), turn.at(one.east, one.north)
        yield from _square(Box(left, low, right, high), one.supplied_share, of=f"square {at + 1}")


def _square(seen: Box, share: float, *, of: str) -> Iterator[Mark]:
    """A tank with its water."""
    left, low, right, high = seen.left, seen.low, seen.right, seen.high
    level = low + share * (high - low)
    if share:
        yield Hatch("water", filled(left, low, right=right, high=level), "water", of)
        yield Stroke("water", ((left, level), (right, level)), of=of)
    yield box("text", left, low=low, right=right, high=high, of=of)


def _gauges(shown: DistrictMap, turn: _Flat) -> Iterator[Mark]:
    """Gauges that lie on the squares; their names too, where they are not many."""
    west, east = min(s.west for s in shown.squares), max(s.east for s in shown.squares)
    south, north = min(s.south for s in shown.squares), max(s.north for s in shown.squares)
    near = [
        one
        for one in shown.gauges
        if west <= one.longitude <= east and south <= one.latitude <= north
    ]
    for one in near:
        at = turn.at(one.longitude, one.latitude)
        yield Symbol("roof", at, "rain gauge", GAUGE_MM, of=one.name)
        if len(near) <= MOST_GAUGES:
            yield Leader("text", at, one.name, of=one.name)


def _beside(shown: DistrictMap, scale: Scale, *, room: Box, system: Show) -> Iterator[Mark]:
    """North, the bar, and what the squares mean."""
    left, top = room.right + 8.0, room.high - 8.0
    yield Symbol("roof", (left + 4.0, top), "north", 16.0)
    yield Text("text", (left + 4.0, top + 9.5), "N", HEADING_MM, "middle", bold=True)
    yield Text(
        "text",
        (left, top - 18.0),
        WORDS.say("tank", size=show(shown.size_l, "volume", system=system)),
        HEADING_MM,
        bold=True,
    )
    keys = (
        (1.0, WORDS.say("legend.full")),
        (0.5, WORDS.say("legend.half")),
    )
    y = top - 30.0
    for share, words in keys:
        yield from _square(Box(left, y, left + KEY_MM, y + KEY_MM), share, of="legend")
        yield Text("text", (left + KEY_MM + 3.0, y + 2.2), words)
        y -= KEY_MM + 4.0
    yield Symbol("roof", (left + KEY_MM / 2.0, y + 3.0), "rain gauge", GAUGE_MM)
    gauge = WORDS.say("legend.invented") if shown.invented else WORDS.say("legend.gauge")
    yield Text("text", (left + KEY_MM + 3.0, y + 2.2), gauge)
    yield Text("text", (left, y - 6.0), WORDS.say("legend.few", few=shown.few))
    yield from scale_bar(scale, at_mm=(room.left + 2.0, room.low - 11.0))
    start = room.left + 2.0 + BAR_PARTS * scale.part_m * scale.mm_m + 20.0
    wide, high = (_km(one, system) for one in (shown.wide_km, shown.high_km))
    km = " x ".join(_km(one, "metric") for one in (shown.wide_km, shown.high_km))
    told = WORDS.say("square", wide=wide, high=high)
    words = f"{told} {WORDS.say('square_km', km=km)}" if system == "us" else told
    yield Text("text", (start, room.low - 7.4), words)
    yield Text("text", (start, room.low - 12.0), WORDS.say("no_map_below"))


def _km(value: float, system: Show) -> str:
    return show(value, "distance", system=system, figures=2)


def _says(shown: DistrictMap, system: Show) -> str:
    return WORDS.say(
        "says",
        name=shown.name,
        squares=len(shown.squares),
        wide=_km(shown.wide_km, system),
        high=_km(shown.high_km, system),
        size=show(shown.size_l, "volume", system=system),
        few=shown.few,
    )
