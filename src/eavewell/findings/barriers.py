"""What the barriers of a line earn against germs, and what a power cut lets past them."""

from collections.abc import Iterator
from types import MappingProxyType

from eavewell.faults import OutOfRange
from eavewell.findings.barrier_order import COMMON, DECIDES, order_holds, where
from eavewell.findings.lamp_water import lamp_sees
from eavewell.findings.rounding import no_more
from eavewell.hydraulics.standard_sizes import next_tank_l
from eavewell.site.barrier import ContactTank, Lamp
from eavewell.site.finding import Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import sources, table
from eavewell.treatment.barriers import Against, TreatedLine, has_shut_valve
from eavewell.treatment.chlorine import contact_volume_l, giardia_ct_mg_min_l, virus_ct_mg_min_l
from eavewell.treatment.credit import GIARDIA_LOGS, VIRUS_LOGS, ContactWorks, LampWorks
from eavewell.treatment.ultraviolet import dose_for_mj_cm2
from eavewell.units import show

# germs that chlorine reaches, with the logs that their table ends at
_REACHED = MappingProxyType({"giardia": GIARDIA_LOGS, "virus": VIRUS_LOGS})
_ASK = "roof water: ask the health department"


def barriers_hold(site: Site, treated: tuple[TreatedLine, ...]) -> Iterator[Finding]:
    """Checks on every line that treats its water or serves somebody who drinks it."""
    system = site.place.show
    for run in treated:
        yield from _treated_at_all(run)
        yield from order_holds(run)
        for lamp in run.lamps:
            yield from _lamp(run, lamp, system=system)
            yield from lamp_sees(lamp, site.water, system=system)
        yield from _shut_valve(run, system)
        if run.contact is not None:
            yield from _contact(site, run, contact=run.contact)
        yield from _targets(site, run)
        yield from _cartridges(run)


def _treated_at_all(run: TreatedLine) -> Iterator[Finding]:
    fed = run.contact is not None and run.contact.dosing is not None
    if run.drinks and not run.lamps and not fed:
        yield Finding(
            "drinking-without-barrier",
            "stop",
            where(run),
            "Somebody drinks from it, and neither a lamp nor chlorine with its contact tank is "
            f"described: it is not treated. {DECIDES}",
            source=COMMON,
            fix="filters and a lamp, or chlorine with a contact tank, as the health department "
            "asks; until then 'not for drinking' at every tap",
        )


def _lamp(run: TreatedLine, lamp: LampWorks, *, system: Show) -> Iterator[Finding]:
    works, place = lamp.thing.works, f"lamp {lamp.thing.name!r}"
    if lamp.why:
        fix = _mend(lamp, works if isinstance(works, Lamp) else Lamp(), system=system)
        yield Finding(
            "lamp-without-credit",
            "fix" if run.drinks else "watch",
            place,
            f"It earns no logs: {'; '.join(lamp.why)}. A listing or a name plate proves no dose. "
            f"{DECIDES}",
            source=sources()["epa_uvdgm"]["title"],
            fix=fix,
        )
    elif lamp.derated:
        share = table("barriers")["lamp end"].value
        yield Finding(
            "lamp-dose-when-new",
            "watch",
            place,
            "Its proven dose is not said to hold at the end of the lamp's life: it counts with "
            f"{share:.0%} of it. {DECIDES}",
            measured=lamp.dose_mj_cm2,
            unit="mJ/cm2",
            source=sources()["lamp_end"]["title"],
            fix="a document that proves the dose at the end of the lamp's life",
        )


def _mend(lamp: LampWorks, works: Lamp, *, system: Show) -> str:
    """What takes the reasons away; a flow above the document's by a limiter of its flow."""
    if works.validated_mj_cm2 is None or not works.document:
        return "a lamp whose document proves its dose at a flow and a transmittance"
    holds_l_s = works.validated_l_s
    if holds_l_s is None or works.validated_transmittance is None:
        return "the flow and the transmittance at which its document proves the dose"
    fixes = []
    if lamp.flow_l_s is None or lamp.flow_l_s > holds_l_s:
        limit = no_more(holds_l_s, "flow", system=system)
        fixes.append(f"a flow limiter of {limit} before the lamp")
    if any("transmittance" in why or "light" in why for why in lamp.why):
        fixes.append(
            f"water that lets {works.validated_transmittance:.0%} of the light at 254 nm through, "
            "as a laboratory measures it"
        )
    return "; ".join(fixes)


def _shut_valve(run: TreatedLine, system: Show) -> Iterator[Finding]:
    if not run.lamps:
        return
    has = has_shut_valve(run.line)
    if has:
        return
    litres = None if run.unlit_l is None else show(run.unlit_l, "volume", system=system)
    passes = (
        "without power water still runs to the taps unlit"
        if litres is None
        else f"without power {litres} still run to the taps unlit"
    )
    unknown = "Is there one? " if has is None else ""
    yield Finding(
        "lamp-without-shut-valve",
        "stop" if run.drinks else "fix",
        where(run),
        f"No valve that stays closed without power is described: {passes}. {unknown}{DECIDES}",
        measured=run.unlit_l,
        limit=0.0,
        unit="L",
        source=sources()["wis_nr811"]["title"],
        fix="a normally closed valve before the lamp, opened by lamp power or its sensor",
    )


def _contact(site: Site, run: TreatedLine, *, contact: ContactWorks) -> Iterator[Finding]:
    place = f"contact tank {contact.tank.name!r}"
    why = contact.why or _refused(run, contact)
    if why:
        says = f"Not reckoned: {'; '.join(why)}. It earns no logs until then. {DECIDES}"
        fix = (
            "plain chlorine before it, and what is unknown measured"
            if contact.why
            else "water within the contact table, or a lamp in its place"
        )
        yield Finding("contact-not-reckoned", "fix", place, says, source=COMMON, fix=fix)
    if contact.ph_raised:
        says = "The pH lies below 6, where the contact table begins: it is taken as 6."
        source = sources()["epa_815r20003"]["title"]
        yield Finding("ph-below-table", "note", place, says, site.water.ph, 6.0, source=source)
    works = contact.tank.works
    if isinstance(works, ContactTank) and works.baffle is None and works.least_l is not None:
        row = table("barriers")["unbaffled"]
        yield Finding(
            "baffle-unknown",
            "note",
            place,
            f"Its baffle factor is unknown: {row.value:g} is taken, that of an open tank.",
            source=sources()["epa_baffle"]["title"],
        )


def _refused(run: TreatedLine, contact: ContactWorks) -> tuple[str, ...]:
    """Why the tables say nothing of a contact that is known."""
    return tuple(
        f"{one.organism}: {one.why.rstrip('.')}"
        for one in run.credits
        if one.barrier == contact.tank.name and one.organism in _REACHED and one.why
    )


def _targets(site: Site, run: TreatedLine) -> Iterator[Finding]:
    if not any(one.target for one in run.against):
        if run.drinks:
            yield Finding(
                "no-log-target",
                "note",
                where(run),
                f"No authority's target is stated for any organism; virus on {_ASK}.",
                fix="the authority's own targets in its file",
            )
        return
    for one in run.against:
        if one.target is None:
            says = f"No target is stated for {one.organism}; {_ASK}."
            yield Finding("no-log-target", "note", where(run), says)
        elif one.short > 1e-9:
            yield Finding(
                "below-log-target",
                "stop",
                where(run),
                f"Against {one.organism} its barriers earn {one.logs:.1f} logs of the "
                f"{one.target.logs:g} that are asked; {_weakest(one)}. {DECIDES}",
                measured=one.logs,
                limit=one.target.logs,
                unit="logs",
                source=f"{one.target.written.source}, {one.target.written.place}".rstrip(", "),
                fix=_more_logs(site, run, one=one),
            )


def _weakest(one: Against) -> str:
    return f"most of them by {one.by!r}" if one.by else "no barrier earns any"


def _more_logs(site: Site, run: TreatedLine, *, one: Against) -> str:
    """The smallest dose row or contact volume that passes."""
    asked = one.target.logs if one.target else 0.0
    fixes = []
    if run.lamps:
        others = one.logs - _by_lamps(run, one.organism)
        try:
            dose = dose_for_mj_cm2(one.organism, max(asked - others, 0.5))
            fixes.append(f"a lamp with a proven dose of {dose:g} mJ/cm2 at the end of its life")
        except OutOfRange:
            fixes.append("more than one lamp can prove by its table")
    volume_l = _contact_volume(site, run, one=one)
    if volume_l is not None:
        fixes.append(f"a contact tank of {next_tank_l(volume_l, site.place.show)}")
    return ", or ".join(fixes) or "a barrier with credit against it"


def _by_lamps(run: TreatedLine, organism: str) -> float:
    names = {lamp.thing.name for lamp in run.lamps}
    return sum(one.logs for one in run.credits if one.organism == organism and one.barrier in names)


def _contact_volume(site: Site, run: TreatedLine, *, one: Against) -> float | None:
    """Water that the contact tank must hold to close the gap; None where chlorine cannot."""
    contact, water = run.contact, site.water
    works = contact.tank.works if contact else None
    if contact is None or contact.ct_mg_min_l is None or not isinstance(works, ContactTank):
        return None
    assert water.ph is not None and water.coldest_c is not None
    asked = (one.target.logs if one.target else 0.0) - _by_lamps(run, one.organism)
    most, mg_l = _REACHED.get(one.organism, 0.0), works.residual_mg_l or 0.0
    if not 0.0 < asked <= most:
        return None
    baffle = works.baffle if works.baffle is not None else table("barriers")["unbaffled"].value
    try:
        whole = (
            virus_ct_mg_min_l(water.coldest_c, max(water.ph, 6.0))
            if one.organism == "virus"
            else giardia_ct_mg_min_l(water.coldest_c, water.ph, mg_l=mg_l)
        )
        ct = whole * asked / most
        return contact_volume_l(ct, contact.flow_l_s or 0.0, mg_l=mg_l, baffle=baffle)
    except OutOfRange:
        return None


def _cartridges(run: TreatedLine) -> Iterator[Finding]:
    unknown = [repr(one.thing.name) for one in run.cartridges if one.every_days is None]
    if unknown:
        says = f"Not checked: life of cartridge {', '.join(unknown)} unknown."
        yield Finding("cartridge-life-unknown", "note", where(run), says)
