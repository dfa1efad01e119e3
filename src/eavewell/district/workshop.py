"""A workshop from its sign-in list: one page a person, and parts, tools and cuts for all."""

import math
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from importlib.metadata import version
from pathlib import Path
from typing import Any

from eavewell.cost.part_rows import stock_m_of
from eavewell.cost.parts import by_stand, is_there, ordered, stock_pieces, take_off
from eavewell.district.blocks import Block, blocks
from eavewell.faults import BadQuantity, BadRoofs, Fault
from eavewell.files.site.new_site import starter_text
from eavewell.files.site.reader import read_site, site_of_text
from eavewell.papers.typeset import pdfs
from eavewell.papers.workshop import build_day_paper, pages_paper
from eavewell.papers.workshop_book import order_book
from eavewell.site.part import Part
from eavewell.site.site import Site
from eavewell.tables import rows, table
from eavewell.units import read

Plain = dict[str, Any]
_HEADINGS: Mapping[str, tuple[str, ...]] = {
    "name": ("who",),
    "town": ("place",),
    "roof": ("roof_area", "area"),
    "what_for": ("for", "use"),
}
_KIT = "barrels"
_ALWAYS = ("garden-water", "lids", "mosquitoes", "weight", "overflow-away", "ladders")
# an area in a sentence: two lengths, the unit behind both or behind the last, or a number of it
_LENGTH = r"\d[\d.,]*(?:\s?(?:ft|feet|foot|m|yd|')(?![\w\d]))?(?:\s?\d+\s?(?:in|\"))?"
_SIDES = re.compile(rf"({_LENGTH})\s*(?:x|by|\*|\u00d7)\s*({_LENGTH})", re.IGNORECASE)
_WHOLE = re.compile(
    r"(?<![\w.,])\d[\d.,]*\s*(?:ft2|ft\^2|sq ?ft|square feet|m2|sq ?m)\b", re.IGNORECASE
)
_UNIT = re.compile(r"ft|feet|foot|m|yd|'", re.IGNORECASE)
SMALLEST_M2, LARGEST_M2 = 0.5, 20_000.0


@dataclass(frozen=True, slots=True)
class Guest:
    """One line of a sign-in list.

    roof : as written. area_m2 : None where it does not tell. finish : a row of tables/runoff.csv,
    "" where it does not tell. cautions : codes of tables/cautions.csv by what it is for.
    lines : of the list, more than one for who signed more than once.
    """

    name: str
    town: str
    roof: str
    what_for: str
    area_m2: float | None
    finish: str
    cautions: tuple[str, ...]
    lines: tuple[int, ...] = ()


def read_guests(path: Path) -> tuple[Guest, ...]:
    """Read a sign-in list: name, town, roof, what for; only the name is needed.

    A roof is as people write it: "24 x 40 ft metal", "1,200 sq ft", "unknown". Who signed twice,
    the same name in the same town, is one guest. Raises BadRoofs with every fault of the list.
    """
    guests, faults = dict[tuple[str, str], Guest](), list[Fault]()
    for block in blocks(path, example="name, town, roof, what for"):
        known = _columns(block, path)
        for at in range(block.rows):
            cells = {name: block.columns[own][at] for name, own in known.items()}
            line = block.first + at + 1
            if not cells["name"]:
                says = "The line has no name: every page is for somebody."
                faults.append(Fault(says, file=str(path), line=line))
                continue
            guest = _guest(cells, line)
            who = _plainly(guest.name), _plainly(guest.town)
            guests[who] = _once(guests[who], guest) if who in guests else guest
    if faults:
        raise BadRoofs(faults)
    return tuple(guests.values())


def _plainly(words: str) -> str:
    return " ".join(words.split()).casefold()


def _once(before: Guest, again: Guest) -> Guest:
    """One guest of two lines: the later roof that tells its area, and all it is for."""
    later = again.area_m2 is not None or (before.area_m2 is None and bool(again.roof))
    roof = again if later else before
    wanted = dict.fromkeys(one.what_for for one in (before, again) if one.what_for)
    return replace(
        before,
        roof=roof.roof,
        area_m2=roof.area_m2,
        finish=roof.finish,
        what_for="; ".join(wanted),
        cautions=tuple(dict.fromkeys((*before.cautions, *again.cautions))),
        lines=(*before.lines, *again.lines),
    )


def signed_again(guests: Sequence[Guest]) -> list[str]:
    """A sentence for everybody who signed more than once."""
    return [
        f"{one.name}{f' of {one.town}' if one.town else ''} stands in lines "
        f"{' and '.join(str(line) for line in one.lines)} of the list: one page and one kit. "
        "Where they are two people, add what tells them apart to the name."
        for one in guests
        if len(one.lines) > 1
    ]


def _columns(block: Block, path: Path) -> dict[str, str]:
    found = dict[str, str]()
    for known, others in _HEADINGS.items():
        own = next((name for name in (known, *others) if name in block.columns), "")
        if own:
            found[known] = own
    if "name" not in found:
        says = "The column name is missing: a sign-in list has name, town, roof, what for."
        raise BadRoofs(Fault(says, file=str(path), line=1))
    return found


def _guest(cells: Mapping[str, str], line: int) -> Guest:
    roof, what_for = cells.get("roof", ""), cells.get("what_for", "")
    return Guest(
        cells["name"],
        cells.get("town", ""),
        roof,
        what_for,
        _area_m2(roof),
        _finish(roof),
        tuple(_cautions(what_for)),
        (line,),
    )


def _area_m2(text: str) -> float | None:
    """The area in a text; None where there is none, or none that a roof can have."""
    said = text.replace("\u00b2", "2").replace("sq.", "sq")
    sides, whole = _SIDES.search(said), _WHOLE.search(said)
    if sides is not None:
        words = _product(sides[1].strip(), sides[2].strip())
    else:
        words = whole[0] if whole else ""
    try:
        area_m2 = read(words, "area") if words else 0.0
    except BadQuantity:
        return None
    return area_m2 if SMALLEST_M2 <= area_m2 <= LARGEST_M2 else None


def _product(one: str, other: str) -> str:
    """Two lengths as a product, a number without a unit in that of the other; "" for none."""
    units = [_UNIT.search(length) for length in (one, other)]
    known = next((unit[0] for unit in units if unit), "")
    if not known:
        return ""
    both = (
        length if unit else f"{length} {known}"
        for length, unit in zip((one, other), units, strict=True)
    )
    return " x ".join(both)


def _finish(text: str) -> str:
    """The longest name of a finish that stands in a text."""
    said = text.lower()
    known = [name for name in table("runoff") if re.search(rf"\b{re.escape(name)}\b", said)]
    return max(known, key=len, default=_other_finish(said))


def _other_finish(said: str) -> str:
    """What people call a finish."""
    others = {"shingle": "asphalt shingle", "tin": "metal", "steel": "metal", "tile": "clay tile"}
    return next((name for word, name in others.items() if word in said.split()), "")


def _cautions(what_for: str) -> Iterator[str]:
    said = what_for.lower()
    for row in rows("workshop_uses"):
        if re.search(rf"\b{re.escape(row['word'])}", said):
            yield row["caution"]


def kit_of(path: Path | None) -> Site:
    """The kit that everybody builds: a site file; None takes two barrels with a tap."""
    if path is not None:
        return read_site(path)
    site = site_of_text(starter_text(_KIT))
    return replace(site, name="two barrels with a tap", lines=site.lines[:1], uses=())


def workshop(guests: Sequence[Guest], kit: Site) -> Plain:
    """Everything that the papers of a workshop say, as plain data.

    kit : built by every guest. Raises BadRoofs for one without a tank.
    """
    flush = _flush_l(kit)
    tank_l = sum(tank.usable_l for tank in kit.tanks)
    if not tank_l:
        raise BadRoofs("The kit has no tank that holds water: name a site file that has one.")
    listed = take_off(kit)
    together = _together(kit, len(guests))
    says = {row["code"]: row["says"] for row in rows("cautions")}
    return {
        "eavewell": version("eavewell"),
        "kit": kit.name,
        "kits": len(guests),
        "system": kit.place.show,
        "tank_l": tank_l,
        "flush_l": flush,
        "signed_again": signed_again(guests),
        "guests": [_page(one, tank_l=tank_l, flush_l=flush, says=says) for one in guests],
        "each": [_part(one) for one in listed.order],
        "order": [_part(one) for one in together],
        "cuts": [row for part in together for row in _cuts(part)],
        "saw_m": table("stock")["saw"].value,
        "tools": _tools({part.part for part in together}, len(guests)),
        "mind": [says[code] for code in ("ladders", "never-enter", "weight")],
    }


def _flush_l(kit: Site) -> float:
    """What the first flush of the kit takes of a rain, where it is told as a volume."""
    found = [roof.first_flush for roof in kit.roofs if roof.first_flush is not None]
    return sum(one.volume_l or 0.0 for one in found)


def _page(guest: Guest, *, tank_l: float, flush_l: float, says: Mapping[str, str]) -> Plain:
    share = table("runoff")[guest.finish].value if guest.finish else None
    per_mm = None if guest.area_m2 is None or share is None else guest.area_m2 * share
    codes = dict.fromkeys((*guest.cautions, *_ALWAYS))
    return {
        **asdict(guest),
        "share": share,
        "per_mm_l": per_mm,
        "fill_mm": None if per_mm is None else (tank_l + flush_l) / per_mm,
        "mind": [says[code] for code in codes],
    }


def _together(kit: Site, kits: int) -> tuple[Part, ...]:
    """The order of all kits as one, with the spares of the whole."""
    wanting = [part for part in by_stand(kit) if not is_there(part, kit.money)]
    return tuple(ordered(part for _ in range(kits) for part in wanting))


def _part(part: Part) -> Plain:
    stock_m = stock_m_of(part.part) if part.lengths_m else None
    return {
        **{name: getattr(part, name) for name in ("part", "called", "size", "count", "unit")},
        **{name: getattr(part, name) for name in ("spares", "joins", "says")},
        "stock_m": stock_m,
        "stock_pieces": _bought(part, stock_m) if stock_m else None,
    }


def _bought(part: Part, stock_m: float) -> int:
    """Pieces of stock to buy: those that are cut, and more where their rests are not the spares."""
    needed_m = part.count + part.spares
    return max(len(stock_pieces(part)), math.ceil(needed_m / stock_m - 1e-9))


def _cuts(part: Part) -> Iterator[Plain]:
    """Pieces of stock that are cut alike, as one row."""
    pieces = stock_pieces(part)
    if not pieces:
        return
    stock_m, saw_m = stock_m_of(part.part), table("stock")["saw"].value
    rounded = Counter(tuple(round(length, 4) for length in piece) for piece in pieces)
    for piece, count in rounded.items():
        left_m = max(0.0, stock_m - sum(piece) - saw_m * len(piece))
        whole = len(piece) == 1 and left_m <= saw_m
        yield {
            "part": part.part,
            "called": part.called,
            "stock_m": stock_m,
            "lengths_m": list(piece),
            "pieces": count,
            "left_m": 0.0 if whole else left_m,
        }


def _tools(parts: set[str], kits: int) -> list[Plain]:
    """Tools for what is built, each for so many people."""
    found = list[Plain]()
    for row in rows("workshop_tools"):
        needs = set(filter(None, row["parts"].split("|")))
        if not needs or needs & parts:
            found.append({"tool": row["tool"], "count": math.ceil(kits / int(row["people"]))})
    return found


def workshop_papers(told: Plain, *, day: date) -> dict[str, str | bytes]:
    """The pages, the build day and the order, by file name."""
    return {
        **pdfs((pages_paper(told, day=day), build_day_paper(told, day=day))),
        "order.xlsx": order_book(told, day=day),
    }
