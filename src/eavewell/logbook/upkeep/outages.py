"""After an outage: what passed a lamp that did not burn, and what is done about it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from eavewell.answers.shown import Sizes, count
from eavewell.answers.shown import day as in_words
from eavewell.logbook.upkeep.serviced import Due, Serviced
from eavewell.site.entry import Outage
from eavewell.tables import sources, table
from eavewell.treatment.barriers import TreatedLine, has_shut_valve
from eavewell.treatment.water_tests import known_tests
from eavewell.units import show

TASK = "flush and disinfect"
TEST = "test after the outage"
POWER = "power"
# less is a drop in a meter that stood still
LEAST_L = 1.0
HOUR_S = 3600.0


@dataclass(frozen=True, slots=True)
class Passed:
    """One outage on one line, and the water that passed its lamp meanwhile.

    metered_l : by the line's meter, evenly between its readings; None where none tells.
    least_l, most_l : by the design, where no meter tells; most_l None where there is no end.
    lasts     : True while it goes on.
    """

    outage: Outage
    day: date
    hours: float
    metered_l: float | None
    least_l: float
    most_l: float | None
    lasts: bool

    @property
    def is_none(self) -> bool:
        """Whether nothing to speak of passed."""
        known = self.metered_l if self.metered_l is not None else self.most_l
        return known is not None and known < LEAST_L


def after_outages(read: Serviced) -> Iterator[Due]:
    """A task for each line whose lamp did not burn while water ran, and which is not yet clean.

    One that was cleaned and from which people drink is then tested for germs.
    """
    for one in read.care.treated:
        if not one.lamps:
            continue
        clean = read.history.last_done(TASK, one.line.name)
        passed = [(out, _passed(read, one, outage=out)) for out in _dark(read, one)]
        passed = [(out, dark) for out, dark in passed if not dark.is_none]
        since = [dark for out, dark in passed if not _is_clean(read, out, clean=clean)]
        if since:
            yield _task(read, one, found=since)
        elif passed and clean is not None and one.drinks and not _tested(read, clean):
            yield _test(read, one, clean=clean)


def unlit_times(read: Serviced, one: TreatedLine) -> list[Passed]:
    """Every outage of a line since it was last flushed and disinfected."""
    clean = read.history.last_done(TASK, one.line.name)
    return [
        _passed(read, one, outage=outage)
        for outage in _dark(read, one)
        if not _is_clean(read, outage, clean=clean)
    ]


def _dark(read: Serviced, one: TreatedLine) -> list[Outage]:
    """Every outage of a line's lamp, or of the power."""
    of = (POWER, *(lamp.thing.name for lamp in one.lamps))
    return [out for out in read.noted.outages if out.of in of and out.began <= read.now]


def _is_clean(read: Serviced, outage: Outage, *, clean: date | None) -> bool:
    return clean is not None and read.noted.day(outage.ended or read.now) <= clean


def _tested(read: Serviced, clean: date) -> bool:
    """Whether anything was tested for germs after that day, on which chlorine stood in the line."""
    kinds = known_tests()
    return any(one.day > clean and kinds[one.of]["kind"] == "germs" for one in read.results.tests)


def _test(read: Serviced, one: TreatedLine, *, clean: date) -> Due:
    return Due(
        kind="outage",
        task=TEST,
        things=(one.line.name,),
        says="Once no chlorine is left in it, have its water tested for germs; until the result is "
        "there it is boiled before it is drunk, or other water is.",
        due=clean + timedelta(days=table("water_retest")["after disinfecting"].value),
        today=read.today,
        by="outage",
        why=f"Disinfected on {in_words(clean.isoformat())} after an outage, and no test for germs "
        "is entered since.",
        source=f"{sources()['common_practice']['title']}",
        last_done=read.history.last_done(TEST, one.line.name),
    )


def _passed(read: Serviced, one: TreatedLine, *, outage: Outage) -> Passed:
    until = min(outage.ended or read.now, read.now)
    counter = read.counted.water_of(one.line)
    metered_l = None
    if counter is not None and counter.last is not None and counter.last >= until:
        metered_l = counter.between(outage.began, until)
    least_l, most_l = _by_design(one, outage)
    return Passed(
        outage=outage,
        day=read.noted.day(outage.began),
        hours=_hours(outage.began, until),
        metered_l=metered_l,
        least_l=least_l,
        most_l=most_l,
        lasts=outage.ended is None,
    )


def _by_design(one: TreatedLine, outage: Outage) -> tuple[float, float | None]:
    """Least and most water: nothing past a valve that shuts, all that runs without power else."""
    if has_shut_valve(one.line):
        return 0.0, 0.0
    if outage.of != POWER:
        return 0.0, None
    known_l = one.unlit.known_l
    return 0.0, None if one.unlit.is_least else known_l


def _hours(began: datetime, until: datetime) -> float:
    return (until - began).total_seconds() / HOUR_S


def _task(read: Serviced, one: TreatedLine, *, found: list[Passed]) -> Due:
    first = found[0]
    metered = [passed.metered_l for passed in found]
    known_l = sum(litres for litres in metered if litres is not None)
    return Due(
        kind="outage",
        task=TASK,
        things=(one.line.name,),
        says=_says(read, one),
        due=first.day,
        today=read.today,
        by="outage",
        why=" ".join(_why(read, passed) for passed in found),
        source=f"{sources()['common_practice']['title']}",
        last_done=read.history.last_done(TASK, one.line.name),
        measured=None if None in metered else known_l,
        unit="L",
    )


def _why(read: Serviced, one: Passed) -> str:
    system = read.care.site.place.show
    sizes, hours = Sizes(system), show(one.hours, "hours", system=system)
    what = "Power was out" if one.outage.of == POWER else f"{one.outage.of!r} was out"
    since = "so far" if one.lasts else "in all"
    said = f"{what} on {in_words(one.day.isoformat())}, {hours} {since};"
    if one.metered_l is not None:
        though = ", though a valve should have shut" if one.most_l == 0.0 else ""
        return f"{said} by the meter about {sizes.volume(one.metered_l)} passed unlit{though}."
    if one.most_l is not None:
        return f"{said} up to {sizes.volume(one.most_l)} ran to the taps unlit, by the design."
    return f"{said} nobody measured what passed unlit."


def _says(read: Serviced, one: TreatedLine) -> str:
    """The steps, with what this line holds."""
    sizes = Sizes(read.care.site.place.show)
    flush = next((line for line in read.care.shock.lines if line.line == one.line.name), None)
    first = (
        "Nothing that passed the dark lamp is drunk: boil it or use other water. "
        if one.drinks
        else ""
    )
    steps = f"{first}See that the lamp burns and its sleeve is clean."
    if flush is None:
        return f"{steps} Run the line off at every tap, disinfect it, run it off again, then test."
    times = flush.flush_l / flush.holds_l if flush.holds_l else 0.0
    return (
        f"{steps} Fill the line with {flush.mg_l:g} mg/L of chlorine to every tap, wait "
        f"{count(flush.wait_h, 'hour')}, run off {sizes.volume(flush.flush_l)} ({times:.3g} times "
        "what its pipes hold), then have it tested for germs."
    )
