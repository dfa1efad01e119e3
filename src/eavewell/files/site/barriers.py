"""What the water passes in a line, from its part of the site file."""

from eavewell.files.site.parts import Part
from eavewell.site.barrier import Cartridge, ContactTank, Dosing, Lamp, Works
from eavewell.site.line import InLine, InLineKind

_LOSES = ("filter", "carbon", "softener", "lamp", "meter", "backflow device", "other")
# fields that belong to some kinds alone
_OWN = {
    ("lamp",): (
        *("dose", "document", "dose_flow", "dose_transmittance", "at_end"),
        *("listing", "shut_valve", "sensor", "power"),
    ),
    ("chlorine",): ("chlorine", "strength", "stabilised", "by_flow"),
    ("contact tank",): ("holds", "baffle", "residual"),
    ("filter", "carbon"): ("rating", "listed", "life_volume"),
    ("filter", "carbon", "lamp"): ("life",),
}
_HOURS = 24.0


def in_line_of(part: Part) -> InLine:
    """One thing in a line; faults for a field of another kind and for losses that cannot be."""
    kind: InLineKind = part["kind"] or "other"
    if part["kind"]:
        _check(part, kind)
    clean_m = part["clean"] or 0.0
    dirty_m = clean_m if part["dirty"] is None else part["dirty"]
    if dirty_m < clean_m:
        part.fault("it loses less when due than when clean.", "dirty")
    return InLine(
        name=part["name"] or "",
        kind=kind,
        rated_l_s=part["flow"] or 1.0,
        clean_m=clean_m,
        dirty_m=dirty_m,
        most_l_s=part["most"],
        passage_mm=part["passage"],
        works=_works(part, kind),
        bypass=part["bypass"],
    )


def _check(part: Part, kind: str) -> None:
    for name in ("flow", "clean"):
        if kind in _LOSES and name not in part.given:
            part.fault(f"the field {name} is missing: a {kind} loses pressure at some flow.")
    if (part["clean"] or part["dirty"]) and part["flow"] is None and kind not in _LOSES:
        part.fault("it loses pressure, but at what flow? Give flow beside clean.", "clean")
    if kind == "chlorine" and "chlorine" not in part.given:
        part.fault("the field chlorine is missing: how much of it is added?")
    for owners, names in _OWN.items():
        for name in names:
            if name in part.given and kind not in owners:
                a_kind = f"{'an' if kind == 'other' else 'a'} {kind}"
                owner = " or a ".join(owners)
                part.fault(f"the field {name} belongs to a {owner}, not to {a_kind}.", name)


def _works(part: Part, kind: str) -> Works | None:
    if kind in ("filter", "carbon"):
        return Cartridge(
            part["rating"] or "unknown", part["listed"] or "", part["life_volume"], part["life"]
        )
    if kind == "lamp":
        return _lamp(part)
    if kind == "chlorine":
        return Dosing(
            part["chlorine"] or 0.0, part["strength"], part["stabilised"], part["by_flow"]
        )
    if kind == "contact tank":
        return ContactTank(part["holds"], part["baffle"], part["residual"])
    return None


def _lamp(part: Part) -> Lamp:
    if part["dose"] is not None and not part["document"]:
        part.fault("a dose without its document proves nothing: name the document.", "dose")
    return Lamp(
        validated_mj_cm2=part["dose"],
        document=part["document"] or "",
        validated_l_s=part["dose_flow"],
        validated_transmittance=part["dose_transmittance"],
        at_end=part["at_end"],
        listing=part["listing"] or "unknown",
        shut_valve=part["shut_valve"],
        sensor=part["sensor"],
        input_w=part["power"],
        life_h=None if part["life"] is None else part["life"] * _HOURS,
    )
