"""Every part of a system, taken off the site in the order in which one walks it."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import chain

from eavewell.cost.line_parts import lift_parts, line_parts
from eavewell.cost.part_rows import part_rows, row, stock_m_of
from eavewell.cost.pipe_parts import run_parts
from eavewell.cost.roof_parts import roof_parts
from eavewell.cost.stock import cut
from eavewell.cost.tank_parts import tank_parts
from eavewell.site.money import Money
from eavewell.site.part import Part
from eavewell.site.site import Site
from eavewell.tables import rows
from eavewell.treatment.label_places import places


@dataclass(frozen=True, slots=True)
class PartsList:
    """Parts where they stand, and the same parts as one order.

    order : what is to be bought: equal parts of the same size and joint as one row, `where` left
            empty, spares of the whole; what is there already is left out.
    """

    parts: tuple[Part, ...]
    order: tuple[Part, ...]


def take_off(site: Site) -> PartsList:
    """Take off every part of a site, and what is to be bought of them as one order."""
    listed = by_stand(site)
    wanting = (part for part in listed if not is_there(part, site.money))
    return PartsList(listed, tuple(ordered(wanting)))


def by_stand(site: Site) -> tuple[Part, ...]:
    """Every part of a site, grouped by where one stands to fit it."""
    labels = sum(one.count for one in places(site))
    parts = chain(
        chain.from_iterable(roof_parts(site, roof) for roof in site.roofs if roof.drains_to),
        chain.from_iterable(run_parts(run) for run in site.runs),
        chain.from_iterable(tank_parts(tank) for tank in site.tanks),
        chain.from_iterable(lift_parts(lift) for lift in site.lifts),
        chain.from_iterable(line_parts(line) for line in site.lines),
        [row("label or sign", labels, where="the whole site")] if labels else [],
    )
    known = {one["name"]: int(one["order"]) for one in rows("stands")}
    return tuple(sorted(merged(parts), key=lambda part: known[part.stand]))


def is_there(part: Part, money: Money) -> bool:
    """Whether the owner has it: by its name, or with all that stands at its place."""
    return part.part in money.have or part.where in money.have


def merged(parts: Iterable[Part]) -> list[Part]:
    """Equal parts at one place as one row."""
    found: dict[tuple[object, ...], Part] = {}
    for part in parts:
        key = (part.part, part.size, part.called, part.where, part.stand, part.says)
        found[key] = _together(found[key], part) if key in found else part
    return list(found.values())


def ordered(parts: Iterable[Part]) -> Iterator[Part]:
    """The order: equal parts of one size from all places together, in the order of the table."""
    found: dict[tuple[object, ...], Part] = {}
    for part in parts:
        plain = replace(part, where="", stand="", says=part.says if _kept(part) else "")
        key = (plain.part, plain.called or plain.size, plain.joins, plain.says)
        found[key] = _together(found[key], plain) if key in found else plain
    places = {name: at for at, name in enumerate(part_rows())}
    for part in sorted(found.values(), key=lambda one: (places[one.part], one.size or 0.0)):
        yield _spared_once(part)


def _kept(part: Part) -> bool:
    """Whether what to look for tells one purchase from another."""
    return part.part in ("gutter", "tank", "elbow", "pump control", "cartridge")


def _together(one: Part, other: Part) -> Part:
    lengths = tuple(sorted((*one.lengths_m, *other.lengths_m), reverse=True))
    spares, count = one.spares + other.spares, one.count + other.count
    return replace(one, count=count, spares=spares, lengths_m=lengths)


def _spared_once(part: Part) -> Part:
    """Whole things, with the spares of the whole order and not place by place."""
    count = float(math.ceil(part.count - 1e-9)) if part.unit == "each" else part.count
    return replace(part, count=count, spares=row(part.part, count, where="").spares)


def stock_pieces(part: Part) -> tuple[tuple[float, ...], ...]:
    """How a part is cut from stock lengths, piece by piece; () where it is not cut."""
    if not part.lengths_m:
        return ()
    return cut(part.lengths_m, stock_m_of(part.part))
