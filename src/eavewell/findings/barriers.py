"""What the barriers of a line earn against germs, and what a power cut lets past them."""

from collections.abc import Iterator

from eavewell.findings.barrier_order import order_holds, where
from eavewell.findings.lamp_water import lamp_sees
from eavewell.findings.log_targets import targets_met
from eavewell.findings.rounding import no_more
from eavewell.site.barrier import ContactTank, Lamp
from eavewell.site.finding import COMMON, HEALTH_DECIDES, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import sources, table
from eavewell.treatment.barriers import TreatedLine, has_shut_valve
from eavewell.treatment.credit import REACHED, ContactWorks, LampWorks
from eavewell.units import show


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
        yield from _fed_without_power(run, system)
        if run.contact is not None:
            yield from _contact(site, run, contact=run.contact)
        yield from targets_met(site, run)
        yield from _cartridges(run)


def _treated_at_all(run: TreatedLine) -> Iterator[Finding]:
    fed = run.contact is not None and run.contact.dosing is not None
    if run.drinks and not run.lamps and not fed:
        yield Finding(
            "drinking-without-barrier",
            "stop",
            where(run),
            "Somebody drinks from it, and neither a lamp nor chlorine with its contact tank is "
            f"described: it is not treated. {HEALTH_DECIDES}",
            source=COMMON,
            fix="filters and a lamp, or chlorine with a contact tank, as the health department "
            "asks; until then 'not for drinking' at every tap",
        )


def _lamp(run: TreatedLine, lamp: LampWorks, *, system: Show) -> Iterator[Finding]:
    works, place = lamp.thing.works, f"lamp {lamp.thing.name!r}"
    if lamp.why:
        around = ["the bypass around it taken out"] if lamp.thing.bypass else []
        proof = _mend(lamp, works if isinstance(works, Lamp) else Lamp(), system=system)
        fix = "; ".join((*around, *([proof] if proof else [])))
        yield Finding(
            "lamp-without-credit",
            "fix" if run.drinks else "watch",
            place,
            f"It earns no logs: {'; '.join(lamp.why)}. A listing or a name plate proves no dose. "
            f"{HEALTH_DECIDES}",
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
            f"{share:.0%} of it. {HEALTH_DECIDES}",
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
        least = show(works.validated_transmittance, "share", system=system)
        fixes.append(
            f"a laboratory's measurement of the transmittance: {least} or more at 254 nm, else "
            "carbon before the lamp and leaves kept out"
        )
    return "; ".join(fixes)


def _shut_valve(run: TreatedLine, system: Show) -> Iterator[Finding]:
    if not run.lamps:
        return
    has = has_shut_valve(run.line)
    if has:
        return
    known_l, least = run.unlit.known_l, "at least " if run.unlit.is_least else ""
    passes = (
        "without power water still runs to the taps unlit"
        if known_l is None
        else f"without power {least}{show(known_l, 'volume', system=system)} still run to the taps "
        "unlit"
    )
    unknown, row = "Is there one? " if has is None else "", table("barriers")["shut valve"]
    yield Finding(
        "lamp-without-shut-valve",
        "stop" if run.drinks else "fix",
        where(run),
        f"No valve that stays closed without power is described: {passes}. {unknown}"
        f"{HEALTH_DECIDES}",
        measured=known_l,
        limit=row.value,
        unit=row.unit,
        source=sources()[row.source]["title"],
        fix="a normally closed valve before the lamp, opened by lamp power or its sensor",
    )


def _fed_without_power(run: TreatedLine, system: Show) -> Iterator[Finding]:
    """Water that falls runs on where an electric feed of chlorine stops."""
    kinds = [thing.kind for thing in run.line.in_line]
    if not run.by_gravity or "chlorine" not in kinds or "shut valve" in kinds:
        return
    known_l = run.unlit.known_l
    litres = "all of the tank" if known_l is None else show(known_l, "volume", system=system)
    yield Finding(
        "chlorine-stops-without-power",
        "fix" if run.drinks else "watch",
        where(run),
        "The water runs by gravity. Where the chlorine is fed by electric power, without it "
        f"{litres} run to the taps with none. {HEALTH_DECIDES}",
        measured=known_l,
        unit="L",
        source=COMMON,
        fix="a normally closed valve in the line that opens with the feed's power",
    )


def _contact(site: Site, run: TreatedLine, *, contact: ContactWorks) -> Iterator[Finding]:
    place = f"contact tank {contact.tank.name!r}"
    why = contact.why or _refused(run, contact)
    if why:
        says = f"Not reckoned: {'; '.join(why)}. It earns no logs until then. {HEALTH_DECIDES}"
        fix = (
            "plain chlorine straight before it, no way around it, and what is unknown found out"
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
        if one.barrier == contact.tank.name and one.organism in REACHED and one.why
    )


def _cartridges(run: TreatedLine) -> Iterator[Finding]:
    unknown = [repr(one.thing.name) for one in run.cartridges if one.every_days is None]
    if unknown:
        says = f"Not checked: life of cartridge {', '.join(unknown)} unknown."
        yield Finding("cartridge-life-unknown", "note", where(run), says)
