"""Whether the barriers of a line stand in an order in which each can do its work."""

from collections.abc import Iterator

from eavewell.site.barrier import ContactTank, Dosing
from eavewell.site.finding import COMMON, HEALTH_DECIDES, Finding
from eavewell.site.line import InLine
from eavewell.tables import sources, table
from eavewell.treatment.barriers import DISINFECTS, ROUNDED, TreatedLine, has_fine_filter
from eavewell.treatment.credit import is_stabilised
from eavewell.treatment.order import CARTRIDGES, finest_before_mm

_AFTER_LAMP = (*CARTRIDGES, "softener", "neutraliser", "storage")


def order_holds(run: TreatedLine) -> Iterator[Finding]:
    """Checks on what stands before and after what in one line."""
    yield from _lamp_filter(run)
    yield from _coarse_cartridge(run)
    yield from _after_the_lamp(run)
    yield from _pressure_tank(run)
    yield from _carbon(run)
    yield from _contact(run)
    yield from _coarse_first(run)
    yield from _neutraliser(run)
    yield from _bypass(run)


def where(run: TreatedLine) -> str:
    """The line as a finding names it."""
    return f"line {run.line.name!r}"


def _before(run: TreatedLine, thing: InLine) -> tuple[InLine, ...]:
    return run.line.in_line[: run.line.in_line.index(thing)]


def _lamp_filter(run: TreatedLine) -> Iterator[Finding]:
    for lamp in run.lamps:
        if has_fine_filter(run.line, lamp.thing):
            continue
        yield Finding(
            "lamp-without-fine-filter",
            "stop" if run.drinks else "fix",
            f"lamp {lamp.thing.name!r}",
            "No cartridge of 5 micron or finer stands before it: grit shades what it should "
            f"reach. {HEALTH_DECIDES}",
            measured=finest_before_mm(run.line, lamp.thing),
            limit=table("barriers")["fine filter"].value,
            unit="mm of mesh",
            source=sources()["uv_prefilter"]["title"],
            fix="a 5 micron cartridge before the lamp",
        )


def _coarse_cartridge(run: TreatedLine) -> Iterator[Finding]:
    """A fine cartridge before a lamp wants a coarser one before it; of unknown passage is one."""
    fine = table("barriers")["fine filter"].value
    before = [one for lamp in run.lamps[:1] for one in _before(run, lamp.thing)]
    filters = [one for one in before if one.kind in CARTRIDGES]
    if filters and filters[0].passage_mm is not None and filters[0].passage_mm <= fine * ROUNDED:
        row = table("barriers")["coarse filter"]
        yield Finding(
            "fine-cartridge-alone",
            "watch",
            f"{filters[0].kind} {filters[0].name!r}",
            "It is the first cartridge that the water meets, takes all the grit, and clogs soon.",
            measured=filters[0].passage_mm,
            limit=row.low,
            unit="mm of mesh",
            source=COMMON,
            fix="a coarse cartridge of 20 to 50 micron before it",
        )


def _after_the_lamp(run: TreatedLine) -> Iterator[Finding]:
    if not run.lamps:
        return
    last = run.line.in_line.index(run.lamps[-1].thing)
    for thing in run.line.in_line[last + 1 :]:
        if thing.kind in _AFTER_LAMP and not _has_residual(run, thing):
            yield Finding(
                "treatment-after-lamp",
                "fix",
                f"{thing.kind} {thing.name!r}",
                "It stands after the lamp, which leaves no residual: germs grow in it and "
                f"nothing stops them. {HEALTH_DECIDES}",
                source=COMMON,
                fix="the lamp last, straight before the taps",
            )


def _has_residual(run: TreatedLine, thing: InLine) -> bool:
    """Whether chlorine is fed before it, passes no carbon, and was not measured as gone."""
    before = [one.kind for one in _before(run, thing)]
    fed = "chlorine" in before and "carbon" not in before[before.index("chlorine") :]
    works = run.contact.tank.works if run.contact else None
    return fed and not (isinstance(works, ContactTank) and works.residual_mg_l == 0.0)


def _pressure_tank(run: TreatedLine) -> Iterator[Finding]:
    names = [one.kind for one in run.order]
    if "lamp" not in names or "pressure tank" not in names:
        return
    if names.index("lamp") < names.index("pressure tank"):
        yield Finding(
            "lamp-before-pressure-tank",
            "fix",
            where(run),
            "The lamp stands before the pressure tank: lit water stands in the tank and what "
            f"leaves it is never lit again. {HEALTH_DECIDES}",
            source=COMMON,
            fix="the pressure tank before the filters and the lamp",
        )


def _carbon(run: TreatedLine) -> Iterator[Finding]:
    if run.contact is None:
        return
    for thing in _before(run, run.contact.tank):
        if thing.kind == "carbon" and run.contact.dosing in _before(run, thing):
            yield Finding(
                "carbon-before-contact",
                "stop" if run.drinks else "fix",
                f"carbon {thing.name!r}",
                "It takes the chlorine out before it has had its time in the contact tank. "
                f"{HEALTH_DECIDES}",
                source=COMMON,
                fix="the carbon after the contact tank, at the tap",
            )


def _contact(run: TreatedLine) -> Iterator[Finding]:
    for thing in run.line.in_line:
        if thing.kind != "chlorine":
            continue
        if is_stabilised(thing):
            yield Finding(
                "stabilised-chlorine",
                "stop",
                f"chlorine {thing.name!r}",
                "A stabilised product builds up in closed tanks and hides what the chlorine "
                f"does. {HEALTH_DECIDES}",
                source=sources()["nsw_private_water"]["title"],
                fix="plain sodium or calcium hypochlorite, for drinking water",
            )
        if isinstance(thing.works, Dosing) and thing.works.by_flow is False:
            yield Finding(
                "chlorine-not-by-flow",
                "watch",
                f"chlorine {thing.name!r}",
                "It is fed at one rate whatever flows: at the largest flow the water gets least. "
                f"{HEALTH_DECIDES}",
                source=COMMON,
                fix="a feed that follows the flow, or the residual measured with every tap open",
            )
        later = run.line.in_line[run.line.in_line.index(thing) + 1 :]
        if not any(one.kind == "contact tank" for one in later):
            yield Finding(
                "chlorine-without-contact",
                "fix",
                f"chlorine {thing.name!r}",
                "Chlorine needs time: no contact tank stands after it, and the main tank counts "
                f"for nothing while roof water can enter. {HEALTH_DECIDES}",
                source=COMMON,
                fix="a contact tank after it, with a test point at its outlet",
            )
    yield from _test_point(run)


def _test_point(run: TreatedLine) -> Iterator[Finding]:
    contact = run.contact
    if contact is None or contact.dosing is None:
        return
    after = run.line.in_line[run.line.in_line.index(contact.tank) + 1 :]
    at = [one.kind for one in after]
    if "test point" not in at or "carbon" in at[: at.index("test point")]:
        yield Finding(
            "no-test-point",
            "fix",
            f"contact tank {contact.tank.name!r}",
            "The residual cannot be tested where it counts, at the outlet of the contact tank.",
            source=COMMON,
            fix="a sampling tap after the contact tank, before any carbon",
        )


def _coarse_first(run: TreatedLine) -> Iterator[Finding]:
    rated = [
        one for one in run.line.in_line if one.kind in CARTRIDGES and one.passage_mm is not None
    ]
    for at, thing in enumerate(rated):
        finest = min(rated[:at], key=lambda one: one.passage_mm or 0.0, default=None)
        if finest is None or thing.kind != "filter":
            continue
        mine, before = thing.passage_mm or 0.0, finest.passage_mm or 0.0
        if mine > before * ROUNDED:
            yield Finding(
                "finer-before-coarser",
                "fix",
                f"filter {thing.name!r}",
                f"The finer {finest.name!r} stands before it: that one clogs at once and this one "
                "has nothing left to do.",
                measured=before,
                limit=mine,
                unit="mm of mesh",
                source=COMMON,
                fix="the coarser cartridge first",
            )


def _neutraliser(run: TreatedLine) -> Iterator[Finding]:
    line = run.line.in_line
    for at, thing in enumerate(line):
        if thing.kind == "neutraliser" and not any(one.kind == "filter" for one in line[at + 1 :]):
            yield Finding(
                "neutraliser-after-filters",
                "watch",
                f"neutraliser {thing.name!r}",
                "It sheds fines, and no cartridge after it holds them back.",
                source=COMMON,
                fix="the neutraliser before the last cartridge",
            )


def _bypass(run: TreatedLine) -> Iterator[Finding]:
    for thing in run.line.in_line:
        if thing.bypass and thing.kind in (*DISINFECTS, *CARTRIDGES):
            yield Finding(
                "bypass-around-barrier",
                "stop" if run.drinks and thing.kind in DISINFECTS else "fix",
                f"{thing.kind} {thing.name!r}",
                "A bypass leads around it: one turn of a valve and untreated water is at every "
                f"tap. {HEALTH_DECIDES}",
                source=COMMON,
                fix="no bypass; isolating valves and a spare cartridge instead",
            )
