"""After an outage: what passed a lamp that did not burn, and what is done about it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from eavewell.answers.shown import Sizes, count
from eavewell.answers.shown import day as in_words
from eavewell.logbook.serviced import Due, Serviced
from eavewell.site.entry import Outage
from eavewell.tables import sources
from eavewell.treatment.barriers import TreatedLine, has_shut_valve
from eavewell.units import show

TASK = "flush and disinfect"
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
    """A task for each line whose lamp did not burn while water ran, and which is not yet clean."""
    for one in read.care.treated:
        if one.lamps:
            found = [passed for passed in unlit_times(read, one) if not passed.is_none]
            if found:
                yield _task(read, one, found=found)


def unlit_times(read: Serviced, one: TreatedLine) -> list[Passed]:
    """Every outage of a line since it was last flushed and disinfected."""
    lamps = {lamp.thing.name for lamp in one.lamps}
    clean = read.history.last_done(TASK, one.line.name)
    return [
        _passed(read, one, outage=outage)
        for outage in read.noted.outages
        if outage.of in (POWER, *lamps)
        and outage.began <= read.now
        and (clean is None or read.noted.day(outage.ended or read.now) > clean)
    ]


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
