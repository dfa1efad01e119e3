"""Whether roofs, tanks and pipes suit what the water is used for; never an approval."""

from collections.abc import Iterator

from eavewell.site.finding import COMMON, HEALTH_DECIDES, Finding
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.use import Use
from eavewell.site.want import Animals
from eavewell.tables import sources
from eavewell.treatment.classes import Fitness, RoofFit, UseFit, Verdict, copper_near
from eavewell.treatment.materials import legionella_c, metal_lines, soft_below_ph, sprays
from eavewell.units import show

MATERIALS = "materials_memory"
_STOCK_TESTS = ("nitrate", "total dissolved solids")
_SHEEP = ("sheep", "lamb", "ewe")


def roofs_fit(site: Site, fitness: Fitness) -> Iterator[Finding]:
    """Checks on the roofs themselves."""
    for fit in fitness.roofs:
        if fit.roof.finish == "fibre cement" and not fit.roof.surface.cleared:
            yield Finding(
                "asbestos-suspected",
                "fix",
                f"roof {fit.roof.name!r}",
                "Older fibre cement holds asbestos: do not cut, clean, drill or walk on it. "
                "Screening, not design approval; a licensed asbestos surveyor decides.",
                source=sources()[MATERIALS]["title"],
                fix="its year and maker, or a survey, before anybody works on it",
            )


def uses_fit(site: Site, fitness: Fitness) -> Iterator[Finding]:
    """Checks on every use against the roofs, tanks and pipes that its water meets."""
    for fit in fitness.uses:
        yield from _ruled_out(fit)
        yield from _unknown(fit)
        yield from _to_be_asked(fit)
        yield from _tanks(fit)
        yield from _eaten_raw(fit)
        yield from _copper(site, fit)
        yield from _animals(site, fit.use)
    yield from _soft_water(site)
    yield from _warm_water(site)
    yield from _lids(site)


_TANK_CODES = {
    "no": ("tank-rules-out-drinking", "stop"),
    "unknown": ("tank-unknown-for-drinking", "stop"),
    "ask": ("tank-to-be-asked", "watch"),
}


def _tanks(fit: UseFit) -> Iterator[Finding]:
    """Tanks whose material stands against drinking, those of the same reason together."""
    by_why: dict[tuple[str, str, str], list[str]] = {}
    for one in fit.tanks:
        by_why.setdefault((one.allowed, one.why, one.find_out), []).append(repr(one.tank))
    for (allowed, why, find_out), names in by_why.items():
        code, level = _TANK_CODES[allowed]
        which = f"{'Tank' if len(names) == 1 else 'Tanks'} {' and '.join(names)}"
        yield Finding(
            code,
            level,  # type: ignore[arg-type]
            _where(fit.use),
            f"{which}: {why}: not for drinking {_UNTIL[allowed]}. {HEALTH_DECIDES}",
            source=COMMON,
            fix=f"find out: {find_out}; name it by listed" if find_out else "another tank",
        )


_UNTIL = {"no": "at all", "unknown": "until it is known", "ask": "until its maker answers"}


def _where(use: Use) -> str:
    return f"use {use.name!r}"


def _listed(pairs: tuple[tuple[RoofFit, Verdict], ...]) -> str:
    """Roofs with the reasons against them, roofs of the same reasons together."""
    by_why: dict[str, list[str]] = {}
    for fit, verdict in pairs:
        names = by_why.setdefault(", ".join(verdict.why), [])
        if repr(fit.roof.name) not in names:
            names.append(repr(fit.roof.name))
    return ". ".join(
        f"{'Roof' if len(names) == 1 else 'Roofs'} {' and '.join(names)}: {why}"
        for why, names in by_why.items()
    )


def _cases(pairs: tuple[tuple[RoofFit, Verdict], ...]) -> str:
    words = {"edible": "food eaten raw", "spray": "spray", "dairy": "dairy plant"}
    cases = dict.fromkeys(words.get(verdict.case, verdict.case) for _, verdict in pairs)
    return " and ".join(cases)


def _ruled_out(fit: UseFit) -> Iterator[Finding]:
    against = fit.against("no")
    if against:
        yield Finding(
            "roof-rules-out-use",
            "stop",
            _where(fit.use),
            f"{_listed(against)}: not for {_cases(against)}. {HEALTH_DECIDES}",
            source=sources()[MATERIALS]["title"],
            fix="replace what sheds it, lead that roof elsewhere, or use the water otherwise",
        )


def _unknown(fit: UseFit) -> Iterator[Finding]:
    against = fit.against("unknown")
    if against:
        find_out = dict.fromkeys(words for _, verdict in against for words in verdict.find_out)
        yield Finding(
            "roof-unknown-for-use",
            "stop",
            _where(fit.use),
            f"{_listed(against)}: not for {_cases(against)} until it is known. {HEALTH_DECIDES}",
            source=sources()[MATERIALS]["title"],
            fix=f"find out: {', '.join(find_out)}",
        )


def _to_be_asked(fit: UseFit) -> Iterator[Finding]:
    against = fit.against("ask")
    if against:
        find_out = dict.fromkeys(words for _, verdict in against for words in verdict.find_out)
        written = ["the document that answers it, as cleared of the roof"] if fit.ask_maker else []
        yield Finding(
            "roof-to-be-asked",
            "watch",
            _where(fit.use),
            f"{_listed(against)}: for {_cases(against)} only where its maker and a test allow it. "
            f"{HEALTH_DECIDES}",
            source=COMMON,
            fix="; ".join((*find_out, *written)),
        )


def _eaten_raw(fit: UseFit) -> Iterator[Finding]:
    """Nobody has said whether food is watered, and a roof rules that out."""
    if fit.use.end_use != "outdoor" or fit.use.edible is not None:
        return
    verdicts = ((one, one.verdict("edible")) for one in fit.roofs)
    against = tuple((one, verdict) for one, verdict in verdicts if verdict.allowed == "no")
    if against:
        yield Finding(
            "eaten-raw-unknown",
            "watch",
            _where(fit.use),
            f"{_listed(against)}: not for {_cases(against)}. Does it wet any? {HEALTH_DECIDES}",
            source=sources()[MATERIALS]["title"],
            fix="say whether it does; until then wet nothing with it that is eaten raw",
        )


def _copper(site: Site, fit: UseFit) -> Iterator[Finding]:
    sheep = [
        want.species
        for want in fit.use.wants
        if isinstance(want, Animals) and any(name in want.species for name in _SHEEP)
    ]
    copper = copper_near(site, fit) if sheep else ()
    if copper:
        yield Finding(
            "copper-and-sheep",
            "fix",
            _where(fit.use),
            f"Copper harms sheep, and their water passes {', '.join(copper)}. Screening, not "
            "design approval; a veterinarian decides.",
            source=sources()[MATERIALS]["title"],
            fix="other material there, or a test for copper that a veterinarian has read",
        )


def _animals(site: Site, use: Use) -> Iterator[Finding]:
    if use.end_use != "animals":
        return
    tanks = [tank for tank in site.tanks if tank.name in use.draws_from and tank.open_area_m2]
    if tanks:
        names = ", ".join(repr(tank.name) for tank in tanks)
        yield Finding(
            "open-water-for-animals",
            "watch",
            _where(use),
            f"Tank {names} lies open: blue-green scum in warm weather poisons stock, and a dead "
            "animal in it means draining and disinfecting. Screening, not design approval; a "
            "veterinarian decides.",
            source=COMMON,
            fix="a cover, or a look at the water every day in warm weather",
        )
    tested = {test.of for test in site.water.tests}
    if not tested.issuperset(_STOCK_TESTS):
        says = "Not tested for salts and nitrate: new water is tested before stock depend on it."
        yield Finding("new-water-for-animals", "note", _where(use), says, source=COMMON)


def _soft_water(site: Site) -> Iterator[Finding]:
    ph, least = site.water.ph, soft_below_ph()
    for line in metal_lines(site):
        if line.neutralised or (line.concrete if ph is None else ph >= least):
            continue
        says = (
            f"Rain is soft and sour, and eats {' and '.join(line.pipes)}: first draws carry metal. "
        )
        yield Finding(
            "soft-water-on-metal",
            "watch" if ph is None else "fix",
            f"line {line.line!r}",
            says + ("The pH was never measured. " if ph is None else "") + HEALTH_DECIDES,
            measured=ph,
            limit=least,
            unit="pH",
            source=sources()["rain_chemistry"]["title"],
            fix="a neutraliser before the last cartridge, plastic pipe, and the first draw of the "
            "morning run off",
        )


def _warm_water(site: Site) -> Iterator[Finding]:
    low, high = legionella_c()
    for one in sprays(site):
        if one.warmest_c is None:
            says = "Not checked: warmest stored water unknown; warm spray can carry Legionella."
            yield Finding("warm-spray-not-checked", "note", one.where, says)
        elif low < one.warmest_c < high:
            warm = show(one.warmest_c, "temperature", system=site.place.show)
            yield Finding(
                "warm-water-thrown",
                "watch",
                one.where,
                f"Stored water of {warm} thrown into the air can carry Legionella. "
                f"{HEALTH_DECIDES}",
                measured=one.warmest_c,
                limit=low,
                unit="C",
                source=sources()["who_legionella"]["title"],
                fix="shade for the tank, a hot heater, clean heads, lines flushed after rest",
            )


def _lids(site: Site) -> Iterator[Finding]:
    for tank in site.tanks:
        if tank.fittings.lid_locked is False:
            yield _unlocked(tank)


def _unlocked(tank: Tank) -> Finding:
    return Finding(
        "lid-not-locked",
        "fix",
        f"{'sump' if tank.is_sump else 'tank'} {tank.name!r}",
        "A child can open its lid. Nobody enters a tank or a pit: rescuers die too.",
        source=COMMON,
        fix="a lid that locks, and nothing to climb on beside it",
    )
