"""What follows from an entry just written: what a test asks for today, when a task is next due."""

from collections.abc import Iterator
from datetime import date, datetime
from difflib import get_close_matches

from eavewell.answers.shown import Sizes, count, day, listed
from eavewell.faults import BadLog
from eavewell.files.record import authority_of
from eavewell.files.site.field_values import near
from eavewell.logbook.kept import Kept
from eavewell.logbook.readings.meters import NEW_METER
from eavewell.logbook.store.documents import instant_of
from eavewell.logbook.upkeep.care import care_without_rain
from eavewell.logbook.upkeep.history import same_words
from eavewell.logbook.upkeep.load_tasks import PAPER as LOAD_PAPER
from eavewell.logbook.upkeep.load_tasks import TAKE_IN
from eavewell.logbook.upkeep.load_tasks import TEST as LOAD_TEST
from eavewell.logbook.upkeep.outages import POWER, after_outages
from eavewell.logbook.upkeep.outages import TASK as FLUSH
from eavewell.logbook.upkeep.outages import TEST as DARK_TEST
from eavewell.logbook.upkeep.results import Found
from eavewell.logbook.upkeep.service import due_of
from eavewell.logbook.upkeep.serviced import Due, Serviced, serviced
from eavewell.site.entry import Done, Entry, Load, Outage, Tested
from eavewell.site.site import Site

# tasks that stand in the due list only while they are asked for
ONLY_WHEN_ASKED = (NEW_METER, FLUSH, DARK_TEST, TAKE_IN, LOAD_TEST, LOAD_PAPER)
FOR_LATER = "what is to be done later is put off with --until"


def refuse_ahead(entry: Entry, *, now: datetime) -> None:
    """Raises BadLog for a task, a test or an outage of a day that is yet to come."""
    at = instant_of(entry)
    if (
        not isinstance(entry, Done | Tested | Outage)
        or at.date() <= now.astimezone(at.tzinfo).date()
    ):
        return
    hint = f": {FOR_LATER}" if isinstance(entry, Done) and entry.until is None else ""
    raise BadLog(f"{day(at.date().isoformat())} lies ahead{hint}.")


def refuse_unknown(entry: Entry, site: Site) -> None:
    """Raises BadLog for an outage of what the site file does not have."""
    known = (POWER, *out_of_order(site))
    if isinstance(entry, Outage) and entry.of not in known:
        raise BadLog(f"'{entry.of}' is no lamp or pump of the site file: {near(entry.of, known)}")


def out_of_order(site: Site) -> tuple[str, ...]:
    """What besides the power may be out: what stands in a line, pumps, their lines, lifts."""
    found = [one.name for line in site.lines for one in line.in_line]
    for line in site.lines:
        if line.pump is not None:
            found += [line.name, line.pump.name]
    return tuple(dict.fromkeys((*found, *(lift.name for lift in site.lifts))))


def refuse(entry: Entry, site: Site, *, now: datetime) -> None:
    """Raises BadLog for an entry that no person can have made."""
    refuse_ahead(entry, now=now)
    refuse_unknown(entry, site)


def follows_now(site: Site, entry: Entry, *, kept: Kept, now: datetime) -> tuple[str, ...]:
    """Sentences on what an entry asks for that has just been written."""
    care = care_without_rain(site, authority_of(site))
    return follows(serviced(care, kept, now=now), entry)


def follows(read: Serviced, entry: Entry) -> tuple[str, ...]:
    """Sentences on what an entry of the log asks for; read : the log with it."""
    if isinstance(entry, Tested):
        return tuple(_after_test(read, entry))
    if isinstance(entry, Done):
        return tuple(_after_done(read, entry))
    if isinstance(entry, Load):
        return tuple(_after_load(read.care.site, entry))
    return tuple(_after_outage(read)) if isinstance(entry, Outage) else ()


def _after_load(site: Site, entry: Load) -> Iterator[str]:
    full_l, sizes = site.tank(entry.to).usable_l, Sizes(site.place.show)
    if entry.volume_l > full_l:
        yield (
            f"It is written, but {entry.to} takes {sizes.volume(full_l)} at most: is "
            f"{sizes.volume(entry.volume_l)} right?"
        )


def _after_test(read: Serviced, entry: Tested) -> Iterator[str]:
    mine = [one for one in read.results.found if one.plan.of == entry.test.of]
    if not mine:
        yield f"No use of this site asks for a test of {entry.test.of}."
    for one in mine:
        yield from _of_class(one, entry, read_on=read.today)


def _of_class(one: Found, entry: Tested, *, read_on: date) -> Iterator[str]:
    latest, water = one.result.latest, f"{one.plan.of}, water for {one.plan.end_use}"
    if latest is not None and latest.day > entry.test.day:
        yield f"{water}: a later result, of {day(latest.day.isoformat())}, counts."
    if one.today:
        tell = f" Tell the {one.tell}." if one.tell else ""
        left = f" {count(one.clear_left, 'clear test')} still wanted." if one.clear_left else ""
        yield f"{water}: {one.result.state}."
        yield f"TODAY: {one.today}.{tell} Then: {one.mend}.{left}"
    elif one.retest is not None:
        when = "next test on" if one.retest >= read_on else "the next was due on"
        yield f"{water}: {one.result.state}; {when} {day(one.retest.isoformat())}."
    elif one.plan.least is None and one.plan.most is None:
        yield f"{water}: no limit is stated for it here; ask who decides."


def _after_done(read: Serviced, entry: Done) -> Iterator[str]:
    due = due_of(read)
    mine = [one for one in due if same_words(one.task, entry.task)]
    if not mine and any(same_words(entry.task, one) for one in ONLY_WHEN_ASKED):
        return
    if not mine:
        yield _no_task(entry.task, tuple(dict.fromkeys(one.task for one in due)))
        return
    things = tuple(dict.fromkeys(thing for one in mine for thing in one.things))
    if entry.thing and entry.thing not in things:
        yield f"It is kept, but the task is of no '{entry.thing}': {near(entry.thing, things)}"
        return
    for one in mine:
        if not entry.thing or entry.thing in one.things:
            yield _next(one)


def _no_task(task: str, known: tuple[str, ...]) -> str:
    close = get_close_matches(task, known, n=1)
    hint = f"did you mean '{close[0]}'?" if close else "'eavewell log due' lists them."
    return f"It is kept, but the due list has no task '{task}': {hint}"


def _next(one: Due) -> str:
    of = f" ({listed(one.things)})" if one.things else ""
    if one.due <= one.today:
        return f"{one.task}{of}: still due. {one.why}"
    return f"{one.task}{of}: next due on {day(one.due.isoformat())}."


def _after_outage(read: Serviced) -> Iterator[str]:
    for one in after_outages(read):
        yield f"{listed(one.things)}: {one.why} {one.says}"
