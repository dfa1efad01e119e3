"""The file of a district: tank sizes, use sets and goals, or every fault in it."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from eavewell.faults import BadSite
from eavewell.files.site.fields import Fields, district_fields, fields
from eavewell.files.site.money import money_of
from eavewell.files.site.parts import Part, Sheet, Spot, read_part
from eavewell.files.site.roofs import roof_of
from eavewell.files.site.toml_lines import lines_of
from eavewell.files.site.uses import goals_of, use_of
from eavewell.files.toml_text import Kind, text_in, toml_of
from eavewell.site.district import District, UseSet
from eavewell.site.roof import Roof
from eavewell.site.tank import Tank
from eavewell.site.use import Use

_DISTRICT_FILE = Kind("district's file", "docs/district_file.md says how one is written.", BadSite)
STORE = "tank"
_PATTERN = {"name": "roof", "area": "1 m2", "drains_to": STORE}


def read_district(path: Path | str) -> District:
    """Read a district's file; BadSite with every fault found, each with its line."""
    file = Path(path)
    return district_of_text(text_in(file, _DISTRICT_FILE), file=str(path), folder=str(file.parent))


def district_of_text(text: str, *, file: str = "", folder: str = "") -> District:
    """Read the text of a district's file.

    file : the name given in faults. folder : where the price book is read from.
    Raises BadSite with every fault found, each with its line.
    """
    raw = _with_store(toml_of(text, _DISTRICT_FILE, file=file))
    sheet = Sheet(file, lines_of(text), known=known_fields())
    district = _district(read_part(raw, "district", spot=Spot(sheet)), folder)
    if sheet.faults:
        raise BadSite(sorted(dict.fromkeys(sheet.faults), key=lambda fault: fault.line or 0))
    return district


def known_fields() -> Fields:
    """The fields of a district's file with those of the site file that it borrows."""
    return {**fields(), **district_fields()}


def _with_store(raw: dict[str, Any]) -> dict[str, Any]:
    """Every use draws from the one tank of its roof, and need not say so."""
    sets = raw.get("set")
    if not isinstance(sets, list):
        return raw
    return raw | {"set": [_set_with_store(one) for one in sets]}


def _set_with_store(one: Any) -> Any:
    if not isinstance(one, dict) or not isinstance(one.get("use"), list):
        return one
    uses = [{"draws_from": [STORE]} | use if isinstance(use, dict) else use for use in one["use"]]
    return one | {"use": uses}


def _district(top: Part, folder: str) -> District:
    sets = tuple(_use_set(part) for part in top["set"])
    names = [one.name for one in sets]
    for at, part in enumerate(top["set"]):
        if names.index(names[at]) < at:
            part.fault("the name is used twice: give each use set its own.", "name")
    usual = top["usual"] or (names[0] if names else "")
    if usual not in names and names:
        top.fault(f"there is no use set {usual!r}: there are {', '.join(names)}.", "usual")
    sizes = tuple(sorted(top["sizes"] or ()))
    if sizes and sizes[0] <= 0.0:
        top.fault("a tank that holds nothing is no size.", "sizes")
    return District(
        name=top["name"] or "",
        sizes_l=sizes,
        sets=sets,
        usual=usual,
        roof=_every_roof(top),
        finish=top["finish"] or "",
        people=top["people"],
        unit=top["unit"] or "",
        rule=top["rule"] or "yas",
        show=top["show"] or "us",
        money=money_of(top["money"]),
        folder=folder,
    )


def _every_roof(top: Part) -> Roof:
    """The roof that all others are made from; a diverter by volume or with a bleed has no place."""
    given = top["roof"]
    raw = dict(given.raw) if given is not None else {}
    allowed = {name: raw[name] for name in raw if name in known_fields()["district.roof"]}
    spot = top.spot.at("roof", where="roof") if given is not None else Spot(Sheet("", {}))
    roof = roof_of(read_part(_PATTERN | {"finish": "metal"} | allowed, "roof", spot=spot))
    diverter = roof.first_flush
    if given is not None and diverter and (diverter.depth_mm is None or diverter.bleed_l_h):
        given.fault(
            "roofs of many sizes share one first flush: give it by depth, without a bleed.",
            "first_flush",
        )
    return replace(roof, finish="")


def _use_set(part: Part) -> UseSet:
    tanks = {STORE: Tank(STORE, stated_l=1.0)}
    uses = list[Use]()
    each = set[str]()
    for one in part["use"]:
        raw = _for_one_person(one)
        use = use_of(raw, tanks)
        _check(raw, is_each=raw is not one, fallback=use.fallback)
        if use.name in [other.name for other in uses]:
            one.fault("the name is used twice: give each use its own.", "name")
        uses.append(use)
        each |= {use.name} if raw is not one else set()
    goals: Mapping[str, Part] = part["goal"] or {}
    _check_goals(goals, [use.name for use in uses])
    return UseSet(part["name"] or "", tuple(uses), goals_of(goals, tuple(uses)), frozenset(each))


def _for_one_person(part: Part) -> Part:
    """A use that tells what each person takes and not how many they are, with one person."""
    if "people" in part.given or not {"each", "fixtures"} & part.given:
        return part
    values = {**part.values, "people": 1.0}
    return replace(part, values=values, given=part.given | {"people"})


def _check(part: Part, *, is_each: bool, fallback: str) -> None:
    if is_each and {"guests", "animals", "plants", "washing", "cooler"} & part.given:
        part.fault("what goes by the people of a roof is a use of its own: part the two.")
    if fallback == "hauled":
        part.fault("many roofs are screened without hauled water: say none or mains.", "fallback")
    if part["draws_from"] not in (None, (STORE,)):
        part.fault("there is one tank: leave draws_from out.", "draws_from")
    for name in ("reserve", "ration"):
        inner = part[name] if isinstance(part[name], tuple) else (part[name],)
        if any(one is not None and "height" in one.given for one in inner):
            part.fault("a tank of any size has no heights: keep a volume or a share.", name)


def _check_goals(goals: Mapping[str, Part], names: list[str]) -> None:
    for name, goal in goals.items():
        if name not in names:
            goal.fault(f"there is no use {name!r}: there are {', '.join(names)}.")
        if "loads_in_worst_year" in goal.given:
            goal.fault("many roofs are screened without hauled water.", "loads_in_worst_year")
