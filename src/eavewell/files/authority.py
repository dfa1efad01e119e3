"""An authority's rules from its file, or every fault in it; the model file that ships."""

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType

from eavewell.faults import BadQuantity, BadRules
from eavewell.files.site.field_values import near
from eavewell.files.site.fields import authority_fields
from eavewell.files.site.parts import Part, Sheet, Spot, read_part
from eavewell.files.site.toml_lines import lines_of
from eavewell.files.site.water import result_of
from eavewell.files.toml_text import Kind, text_in, toml_of
from eavewell.site.authority import (
    Authority,
    Inspection,
    PaperAsked,
    Setback,
    SignWording,
    Sourced,
    Target,
    Trigger,
    WaterLimit,
)

_RULES = Kind("authority's file", "docs/authority_file.md says how one is written.", BadRules)
# what each measure of a trigger is told by; "" where it is there or not
_TOLD_BY: Mapping[str, str] = MappingProxyType(
    {
        "tank volume": "above",
        "total volume": "above",
        "height over width": "ratio",
        "end use": "end_use",
        "mains make-up": "",
        "rebate": "",
    }
)
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


def read_authority(path: Path | str) -> Authority:
    """Read an authority's file.

    Raises BadRules with every fault found, each with its line.
    """
    return authority_of_text(text_in(Path(path), _RULES), file=str(path))


@cache
def model_authority() -> Authority:
    """The model rules that ship with the tool: check your own."""
    text = files("eavewell.tables").joinpath("authorities", "model.toml").read_text("utf-8")
    return replace(authority_of_text(text, file="model.toml"), is_model=True)


def authority_of_text(text: str, *, file: str = "") -> Authority:
    """Read the text of an authority's file; file : the name given in faults.

    Raises BadRules with every fault found, each with its line.
    """
    raw = toml_of(text, _RULES, file=file)
    sheet = Sheet(file, lines_of(text), known=authority_fields())
    top = read_part(raw, "authority", spot=Spot(sheet))
    _check_names(top)
    authority = _authority(top)
    if sheet.faults:
        raise BadRules(sorted(dict.fromkeys(sheet.faults), key=lambda fault: fault.line or 0))
    return authority


def _authority(top: Part) -> Authority:
    storm = top["drainage"]
    return Authority(
        name=top["name"] or "",
        edition=top["edition"] or "",
        triggers=tuple(_trigger(part) for part in top["trigger"]),
        setbacks=tuple(_setback(part) for part in top["setback"]),
        papers=tuple(_paper(part) for part in top["paper"]),
        targets=tuple(_target(part) for part in top["target"]),
        inspections=tuple(_inspection(part) for part in top["inspection"]),
        signs=tuple(_sign(part) for part in top["sign"]),
        limits=tuple(_limit(part) for part in top["limit"]),
        drainage_years=storm["years"] if storm else None,
        drainage_minutes=storm["lasts"] if storm else None,
        drainage_written=_written(storm) if storm else None,
    )


def _written(part: Part) -> Sourced:
    return Sourced(part["source"] or "", part["place"] or "")


def _trigger(part: Part) -> Trigger:
    told_by = _TOLD_BY.get(part["measure"] or "", "")
    for name in ("above", "ratio", "end_use"):
        if name in part.given and name != told_by and part["measure"]:
            part.fault(f"{name} says nothing about {part['measure']}: take it out.", name)
    if told_by and told_by not in part.given:
        part.fault(f"the field {told_by} is missing: {part['measure']} is told by it.")
    return Trigger(
        part["name"] or "",
        part["measure"] or "",
        part["asks"] or "",
        _written(part),
        above=part[told_by] if told_by in ("above", "ratio") else None,
        end_use=part["end_use"] or "",
    )


def _setback(part: Part) -> Setback:
    return Setback(part["of"] or "tank", part["to"] or "", part["least"] or 0.0, _written(part))


def _paper(part: Part) -> PaperAsked:
    return PaperAsked(
        part["name"] or "",
        part["when"] or "before use",
        _written(part),
        who=part["who"] or "",
        end_uses=_end_uses(part),
        triggers=part["triggers"] or (),
    )


def _target(part: Part) -> Target:
    return Target(
        part["organism"] or "", part["end_use"] or "", part["logs"] or 0.0, _written(part)
    )


def _inspection(part: Part) -> Inspection:
    return Inspection(
        part["what"] or "", part["every"] or 1.0, _written(part), end_uses=_end_uses(part)
    )


def _sign(part: Part) -> SignWording:
    for name in ("ground", "letters"):
        if part[name] and not _COLOUR.fullmatch(part[name]):
            part.fault(f"{name}: '{part[name]}' is no colour such as '#ffd400'.", name)
    return SignWording(
        part["end_use"] or "",
        part["text"] or "",
        _written(part),
        ground=part["ground"] or "",
        letters=part["letters"] or "",
        letters_mm=part["letter_height"],
    )


def _limit(part: Part) -> WaterLimit:
    most, below = 0.0, False
    if part["of"] and part["most"] is not None:
        try:
            most, below = result_of(part["most"], part["of"])
        except BadQuantity as refused:
            part.fault(f"most: {refused.faults[0].says}", "most")
    if below:
        part.fault("most: a limit is one figure, without '<'.", "most")
    return WaterLimit(part["of"] or "", part["end_use"] or "", most, part["every"], _written(part))


def _end_uses(part: Part) -> tuple[str, ...]:
    known = authority_fields()["authority.limit"]["end_use"].choices
    for word in part["end_uses"] or ():
        if word not in known:
            part.fault(f"end_uses: '{word}' is not known: {near(word, known)}", "end_uses")
    return part["end_uses"] or ()


def _check_names(top: Part) -> None:
    """Names are given once, and a paper's triggers are there."""
    for section in ("trigger", "paper"):
        seen: set[str] = set()
        for part in top[section]:
            if part["name"] in seen:
                part.fault("the name is used twice: give each its own.", "name")
            seen.add(part["name"] or "")
    known = tuple(part["name"] for part in top["trigger"] if part["name"])
    for paper in top["paper"]:
        for name in paper["triggers"] or ():
            if name not in known:
                paper.fault(f"there is no trigger '{name}': {near(name, known)}", "triggers")
