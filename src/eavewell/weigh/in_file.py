"""A choice as changes to the text of its site file: plain pairs of address and value."""

import math
from collections.abc import Iterator, Mapping
from typing import Any

from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.weighing import Choice
from eavewell.storage.rebuilt import as_it_stands, garden_only, household_only
from eavewell.units import read, sides
from eavewell.weigh.sized import plain, sized
from eavewell.weigh.wants_in_file import scaled

Way = tuple[str | int, ...]
Change = tuple[Way, object]
Raw = Mapping[str, Any]

_WIDER = {
    frozenset({"diameter", "height"}): ("diameter",),
    frozenset({"length", "width", "height"}): ("length", "width"),
    frozenset({"diameter", "height", "cone"}): ("diameter",),
}
_LYING = frozenset({"diameter", "length"})
_SIZES = frozenset({"diameter", "height", "length", "width", "cone"})


def changes_of(site: Site, raw: Raw, *, choice: Choice, tank: str) -> tuple[Change, ...]:
    """What a site file must say otherwise for a choice; a value of None is taken out.

    raw : the site file as it is read, from which `site` was built. tank : the store that is varied.
    """
    present = as_it_stands(site, tank)
    found: list[Change] = []
    if (choice.count, choice.each_l) != (present.count, present.each_l):
        found += _tank(site, raw, choice=choice, present=present, tank=tank)
    share = choice.roof_m2 / (present.roof_m2 or 1.0)
    if abs(share - 1.0) > 1e-12:
        found += _roofs(raw, share, system=site.place.show)
    factors = dict.fromkeys(household_only(site), choice.fixtures)
    factors |= dict.fromkeys(garden_only(site), choice.garden)
    for row, use in enumerate(raw.get("use", ())):
        if factors.get(use["name"], 1.0) != 1.0:
            for way, value in scaled(use, factors[use["name"]], system=site.place.show):
                found.append((("use", row, *way), value))
        if not choice.rations and "ration" in use:
            found.append((("use", row, "ration"), None))
    return tuple(found)


def left_out(site: Site, choice: Choice, *, tank: str) -> tuple[str, ...]:
    """What of a choice no site file can say, in sentences."""
    present, found = as_it_stands(site, tank), []
    if choice.fixtures != 1.0:
        found.append(
            "A site file says what people use, not which fixtures they buy: the version costs "
            "less than the choice by the better fixtures."
        )
    named = site.tank(tank).fire_reserve, *(use.reserve for use in site.uses)
    heights = any(one is not None and one.held_by == "outlet height" for one in named)
    if heights and (choice.count, choice.each_l) != (present.count, present.each_l):
        found.append(
            "A reserve that an outlet's height holds keeps the water it keeps now, and is told as "
            "a volume: set the outlet anew in the other tank."
        )
    there = {"tank", f"tank {tank!r}"} & set(site.money.have)
    if there and choice.each_l == present.each_l and choice.count > present.count:
        found.append(
            "The present tanks stand under 'There already' and cost nothing: the version counts "
            "the new ones among them."
        )
    return tuple(found)


def _tank(site: Site, raw: Raw, *, choice: Choice, present: Choice, tank: str) -> Iterator[Change]:
    row = next(row for row, one in enumerate(raw["tank"]) if one.get("name") == tank)
    said, at = raw["tank"][row], ("tank", row)
    if choice.count != present.count:
        yield (*at, "count"), choice.count
        if floors := said.get("floors"):
            yield (*at, "floors"), [*floors, *choice.count * [floors[-1]]][: choice.count]
    share = choice.each_l / present.each_l
    if abs(share - 1.0) > 1e-12:
        for field, value in _wider(said, share, system=site.place.show):
            yield (*at, field), value
        have = site.money.have
        if kept := [one for one in have if one not in ("tank", f"tank {tank!r}")]:
            yield from [(("money", "have"), kept)] if len(kept) < len(have) else []
        elif have:
            yield ("money", "have"), None
    yield from _held_water(site, raw, tank=site.tank(tank))


def _wider(said: Raw, share: float, *, system: str) -> Iterator[tuple[str, object]]:
    """Every size of one tank that holds so many times as much at every depth."""
    given = frozenset(_SIZES & said.keys())
    side = math.sqrt(share)
    for field in _WIDER.get(given, ()):
        yield field, sized(read(said[field], "length") * side, "length", system=system)
    if given == _LYING:
        yield "length", sized(read(said["length"], "length") * share, "length", system=system)
    for field, quantity in (("each", "volume"), ("dead", "volume"), ("empty_weight", "weight")):
        if field in said:
            yield field, sized(read(said[field], quantity) * share, quantity, system=system)
    if "table" in said:
        yield (
            "table",
            [
                [depth, sized(read(volume, "volume") * share, "volume", system=system)]
                for depth, volume in said["table"]
            ],
        )


def _held_water(site: Site, raw: Raw, *, tank: Tank) -> Iterator[Change]:
    """Reserves told by a height keep the water that they keep now, told as a volume."""
    for row, one in enumerate(raw["tank"]):
        held = one.get("fire_reserve", {})
        if one.get("name") == tank.name and "height" in held and tank.fire_reserve is not None:
            yield from _as_volume(
                ("tank", row, "fire_reserve"), tank.fire_reserve.volume_l, system=site.place.show
            )
    for row, one in enumerate(raw.get("use", ())):
        use = next((use for use in site.uses if use.name == one.get("name")), None)
        if use is None or use.reserve is None or tank.name not in use.draws_from:
            continue
        if "height" in one.get("reserve", {}):
            yield from _as_volume(
                ("use", row, "reserve"), use.reserve.volume_l, system=site.place.show
            )


def _as_volume(way: Way, litres: float | None, *, system: str) -> Iterator[Change]:
    yield (*way, "keep"), sized(litres or 0.0, "volume", system=system)
    yield (*way, "height"), None


def _roofs(raw: Raw, share: float, *, system: str) -> Iterator[Change]:
    """Every roof that is caught, grown or cut in proportion, with its gutters and first flush."""
    for row, one in enumerate(raw["roof"]):
        if not one.get("drains_to"):
            continue
        at = ("roof", row)
        yield from (((*at, field), value) for field, value in _plane(one, share, system=system))
        for number, plane in enumerate(one.get("plane", ())):
            for field, value in _plane(plane, share, system=system):
                yield (*at, "plane", number, field), value
        flush = one.get("first_flush", {})
        for field, quantity in (("volume", "volume"), ("drain", "bleed"), ("bleed", "bleed")):
            if field in flush:
                grown = sized(read(flush[field], quantity) * share, quantity, system=system)
                yield (*at, "first_flush", field), grown
        for number, gutter in enumerate(one.get("gutter", ())):
            for field, value in _gutter(gutter, share, system=system):
                yield (*at, "gutter", number, field), value


def _plane(said: Raw, share: float, *, system: str) -> Iterator[tuple[str, object]]:
    if "area" in said:
        yield "area", sized(read(said["area"], "area") * share, "area", system=system)
    if "corners" in said:
        yield "corners", [[x * share, y] for x, y in said["corners"]]
    if "plan" in said:
        told = sides(said["plan"])
        if told is None:
            yield "plan", sized(read(said["plan"], "area") * share, "area", system=system)
        else:
            unit = "ft" if system == "us" else "m"
            along, up = told[0] * share / read(f"1 {unit}", "length"), told[1]
            across = plain(up / read(f"1 {unit}", "length"))
            yield "plan", f"{plain(along)} {unit} x {across} {unit}"


def _gutter(said: Raw, share: float, *, system: str) -> Iterator[tuple[str, object]]:
    yield "length", sized(read(said["length"], "length") * share, "length", system=system)
    if "area" in said:
        yield "area", sized(read(said["area"], "area") * share, "area", system=system)
    spouts = max(math.ceil(said.get("spouts", 1) * share - 1e-9), 1)
    if spouts != said.get("spouts", 1):
        yield "spouts", spouts
