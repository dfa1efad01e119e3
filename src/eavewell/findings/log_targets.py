"""Whether the barriers of a line earn the logs that the authority asks, and what more would."""

from collections.abc import Iterator

from eavewell.faults import OutOfRange
from eavewell.findings.barrier_order import where
from eavewell.hydraulics.standard_sizes import next_tank_l
from eavewell.site.barrier import ContactTank
from eavewell.site.finding import HEALTH_DECIDES, Finding
from eavewell.site.site import Site
from eavewell.treatment.barriers import Against, TreatedLine
from eavewell.treatment.chlorine import contact_volume_l
from eavewell.treatment.credit import REACHED, baffle_of, whole_ct_mg_min_l
from eavewell.treatment.ultraviolet import dose_for_mj_cm2

_ASK = "roof water: ask the health department"


def targets_met(site: Site, run: TreatedLine) -> Iterator[Finding]:
    """Checks of one line against every organism's target; none is built in."""
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
                f"{one.target.logs:g} that are asked; {_weakest(one)}. {HEALTH_DECIDES}",
                measured=one.logs,
                limit=one.target.logs,
                unit="logs",
                source=one.target.written.in_words,
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
    asked = (one.target.logs if one.target else 0.0) - _by_lamps(run, one.organism)
    most, mg_l = REACHED.get(one.organism, 0.0), works.residual_mg_l or 0.0
    if not 0.0 < asked <= most:
        return None
    try:
        ct = whole_ct_mg_min_l(one.organism, water, mg_l=mg_l) * asked / most
        return contact_volume_l(ct, contact.flow_l_s or 0.0, mg_l=mg_l, baffle=baffle_of(works))
    except OutOfRange:
        return None
