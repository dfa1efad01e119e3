"""Logs that the barriers of a line earn against each organism, and why they earn no more."""

from collections.abc import Iterator
from dataclasses import dataclass
from types import MappingProxyType

from eavewell.faults import OutOfRange
from eavewell.hydraulics.service_outlets import limited_l_s
from eavewell.site.barrier import ContactTank, Dosing, Lamp
from eavewell.site.line import InLine, Line
from eavewell.site.water import Water
from eavewell.tables import table
from eavewell.treatment.chlorine import (
    GIARDIA_LOGS,
    PH,
    VIRUS_LOGS,
    giardia_ct_mg_min_l,
    logs_by_ratio,
    virus_ct_mg_min_l,
)
from eavewell.treatment.materials import soft_below_ph
from eavewell.treatment.ultraviolet import log_credit, organisms

# logs that chlorine reaches at most; an organism that is not here it does not reach
REACHED = MappingProxyType({"giardia": GIARDIA_LOGS, "virus": VIRUS_LOGS})


@dataclass(frozen=True, slots=True)
class Credit:
    """What one barrier earns against one organism; why : the reason where it earns nothing."""

    barrier: str
    organism: str
    logs: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class LampWorks:
    """A lamp at the largest flow there can be.

    dose_mj_cm2 : that counts, 0 where nothing is proven. why : what takes the credit away.
    derated : True where the proven dose is not one for the end of the lamp's life.
    """

    thing: InLine
    flow_l_s: float | None
    dose_mj_cm2: float
    derated: bool
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ContactWorks:
    """Chlorine and its contact tank at the largest flow.

    ct_mg_min_l : contact; None where it cannot be known. ph_raised : True where a pH below 6 was
    taken as 6. why : what keeps it from counting.
    """

    dosing: InLine | None
    tank: InLine
    flow_l_s: float | None
    ct_mg_min_l: float | None
    ph_raised: bool
    why: tuple[str, ...]


def lamp_works(thing: InLine, water: Water, *, flow_l_s: float | None) -> LampWorks:
    """What a lamp proves: nothing bypassed, unproven, above its flow or in murkier water."""
    lamp = thing.works if isinstance(thing.works, Lamp) else Lamp()
    why = (*_around(thing), *_unproven(lamp, water, flow_l_s=flow_l_s))
    derated = lamp.at_end is not True
    dose = (lamp.validated_mj_cm2 or 0.0) * (table("barriers")["lamp end"].value if derated else 1)
    return LampWorks(thing, flow_l_s, 0.0 if why else dose, derated, why)


def _around(*things: InLine) -> Iterator[str]:
    if any(thing.bypass for thing in things):
        yield "a pipe leads around it"


def _unproven(lamp: Lamp, water: Water, *, flow_l_s: float | None) -> Iterator[str]:
    if lamp.validated_mj_cm2 is None or not lamp.document:
        yield "no document proves its dose"
        return
    if flow_l_s is None:
        yield "the largest flow through it is unknown"
    elif lamp.validated_l_s is None:
        yield "its document's flow is unknown"
    elif flow_l_s > lamp.validated_l_s * (1.0 + 1e-9):
        yield "more flows through it than its document holds for"
    needed = lamp.validated_transmittance
    if water.transmittance is None:
        yield "the water's transmittance at 254 nm was never measured"
    elif needed is None:
        yield "its document's transmittance is unknown"
    elif water.transmittance < needed - 1e-9:
        yield "the water lets less light through than its document holds for"


def contact_works(line: Line, water: Water, *, largest_l_s: float | None) -> ContactWorks | None:
    """The contact tank that earns most with the chlorine before it; None without a tank."""
    tanks = [one for one in line.in_line if one.kind == "contact tank"]
    found = [_in_contact(line, water, tank=tank, largest_l_s=largest_l_s) for tank in tanks]
    return max(found, key=lambda one: one.ct_mg_min_l or 0.0, default=None)


def _in_contact(
    line: Line, water: Water, *, tank: InLine, largest_l_s: float | None
) -> ContactWorks:
    ahead = line.in_line[: line.in_line.index(tank)]
    fed = tuple(one for one in ahead if one.kind == "chlorine")
    flow_l_s = limited_l_s(line, largest_l_s, at=tank)
    works = tank.works if isinstance(tank.works, ContactTank) else ContactTank()
    why = (
        *_around(tank, *fed),
        *_spoiled(ahead, fed, residual_mg_l=works.residual_mg_l),
        *_missing(works, water, fed=fed, flow_l_s=flow_l_s),
        *_raised(ahead, water),
    )
    ct = None if why else _ct(works, flow_l_s or 0.0)
    raised = water.ph is not None and water.ph < PH[0]
    return ContactWorks(fed[0] if fed else None, tank, flow_l_s, ct, raised, why)


def _spoiled(
    ahead: tuple[InLine, ...], fed: tuple[InLine, ...], *, residual_mg_l: float | None
) -> Iterator[str]:
    """What keeps chlorine from the tank; ahead : everything before the tank."""
    if not fed:
        yield "no chlorine is fed before it"
    elif any(is_stabilised(one) for one in fed):
        yield "its chlorine is stabilised"
    if fed and any(one.kind == "carbon" for one in ahead[ahead.index(fed[0]) :]):
        yield "carbon takes the chlorine out before it"
    doses = [one.works.dose_mg_l for one in fed if isinstance(one.works, Dosing)]
    if doses and residual_mg_l is not None and residual_mg_l > sum(doses) * (1.0 + 1e-9):
        yield "more chlorine is stated at its outlet than is fed before it"


def _raised(ahead: tuple[InLine, ...], water: Water) -> Iterator[str]:
    """A pH of sour water is not that of the water behind a neutraliser, which asks for more."""
    neutralised = any(one.kind == "neutraliser" for one in ahead)
    if neutralised and water.ph is not None and water.ph < soft_below_ph():
        yield "the pH behind the neutraliser is unknown"


def is_stabilised(thing: InLine) -> bool | None:
    """Whether a chlorine is; None unknown."""
    return thing.works.stabilised if isinstance(thing.works, Dosing) else None


def _missing(
    works: ContactTank, water: Water, *, fed: tuple[InLine, ...], flow_l_s: float | None
) -> Iterator[str]:
    plain = None if None in [is_stabilised(one) for one in fed] else True
    unknown = {
        "whether its chlorine is stabilised": plain,
        "its least volume": works.least_l,
        "the residual measured at its outlet": works.residual_mg_l,
        "the largest flow through it": flow_l_s or None,
        "the pH": water.ph,
        "the temperature of the coldest water": water.coldest_c,
    }
    yield from (f"{what} is unknown" for what, value in unknown.items() if value is None)


def _ct(works: ContactTank, flow_l_s: float) -> float | None:
    """Residual x baffle factor x least volume over largest flow, mg min/L."""
    if works.least_l is None or works.residual_mg_l is None:
        return None
    return works.residual_mg_l * baffle_of(works) * works.least_l / (flow_l_s * 60.0)


def baffle_of(works: ContactTank) -> float:
    """Its baffle factor; that of an open tank where it is unknown."""
    return table("barriers")["unbaffled"].value if works.baffle is None else works.baffle


def credits_of(
    lamps: tuple[LampWorks, ...], contact: ContactWorks | None, *, water: Water
) -> Iterator[Credit]:
    """Every barrier against every organism; cartridges and carbon earn nothing here."""
    for lamp in lamps:
        for organism in organisms():
            why = "; ".join(lamp.why)
            yield Credit(lamp.thing.name, organism, log_credit(organism, lamp.dose_mj_cm2), why)
    if contact is not None:
        yield from _by_chlorine(contact, water)


def _by_chlorine(contact: ContactWorks, water: Water) -> Iterator[Credit]:
    name, ct = contact.tank.name, contact.ct_mg_min_l
    yield Credit(name, "cryptosporidium", 0.0, "chlorine does not reach it")
    for organism in REACHED:
        if ct is None or water.ph is None or water.coldest_c is None:
            yield Credit(name, organism, 0.0, "; ".join(contact.why))
            continue
        try:
            yield Credit(name, organism, _logs(organism, ct, contact=contact, water=water))
        except OutOfRange as refused:
            yield Credit(name, organism, 0.0, str(refused))


def _logs(organism: str, ct: float, *, contact: ContactWorks, water: Water) -> float:
    works = contact.tank.works
    assert isinstance(works, ContactTank) and works.residual_mg_l is not None
    needed = whole_ct_mg_min_l(organism, water, mg_l=works.residual_mg_l)
    return logs_by_ratio(ct, needed, table_logs=REACHED[organism])


def whole_ct_mg_min_l(organism: str, water: Water, *, mg_l: float) -> float:
    """Contact that earns all that chlorine reaches against an organism of REACHED.

    water : with its pH and its coldest temperature. mg_l : residual at the end of contact. Raises
    OutOfRange where the tables end.
    """
    assert water.ph is not None and water.coldest_c is not None
    if organism == "virus":
        return virus_ct_mg_min_l(water.coldest_c, water.ph)
    return giardia_ct_mg_min_l(water.coldest_c, water.ph, mg_l=mg_l)
