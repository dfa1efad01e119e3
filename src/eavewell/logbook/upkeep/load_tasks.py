"""Hauled loads that ask for something: one that is on its way, one whose water is not tested."""

from collections.abc import Iterator
from datetime import date, timedelta

from eavewell.answers.shown import Sizes, count
from eavewell.answers.shown import day as in_words
from eavewell.logbook.upkeep.open_orders import open_orders
from eavewell.logbook.upkeep.serviced import Due, Serviced
from eavewell.site.entry import Load
from eavewell.tables import rows, sources
from eavewell.treatment.water_tests import known_tests

TAKE_IN, TEST, PAPER = "take the load in", "test after the load", "keep the load's paper"
# what is seen to while a load runs in
WHILE = ("access", "paper", "chlorine", "fill")


def for_loads(read: Serviced) -> Iterator[Due]:
    """Loads that were ordered and did not come; of the last that came, its test and its paper."""
    for order, ordered in open_orders(read.noted.loads):
        yield _on_its_way(read, order, ordered=read.noted.day(ordered))
    for tank in dict.fromkeys(one.to for one in read.noted.loads):
        came = [
            (read.noted.day(one.came), one)
            for one in read.noted.loads
            if one.to == tank and one.came and one.came <= read.now
        ]
        if came and _is_drunk(read, tank):
            day, last = max(came, key=lambda pair: pair[0])
            yield from _came(read, last, day=day)


def _is_drunk(read: Serviced, tank: str) -> bool:
    """Whether anybody drinks from the tank, or from one that it fills."""
    fed = read.care.site.fed_from(tank)
    return any(
        use.end_use == "drinking" and fed & set(use.draws_from) for use in read.care.site.uses
    )


def _on_its_way(read: Serviced, one: Load, *, ordered: date) -> Due:
    lead = max(
        (truck.lead_days for truck in read.care.site.hauling if truck.to == one.to), default=0
    )
    load = Sizes(read.care.site.place.show).volume(one.volume_l)
    why = (
        f"{load} ordered on {in_words(ordered.isoformat())}; the truck needs {count(lead, 'day')}."
    )
    says = " ".join(_word(what) for what in WHILE)
    return _due(read, TAKE_IN, one=one, says=says, why=why, due=ordered + timedelta(days=lead))


def _came(read: Serviced, one: Load, *, day: date) -> Iterator[Due]:
    """What is still to be done about a load that came and that somebody drinks."""
    why = f"A load came on {in_words(day.isoformat())}"
    if not _tested_since(read, day) and not _done_since(read, TEST, one=one, day=day):
        since = f"{why}, and no test for germs is entered since."
        yield _due(read, TEST, one=one, says=_word("test"), why=since, due=day)
    if not one.paper and not _done_since(read, PAPER, one=one, day=day):
        says = _word("paper")
        yield _due(
            read, PAPER, one=one, says=says, why=f"{why} without a paper in the log.", due=day
        )


def _tested_since(read: Serviced, day: date) -> bool:
    tests = read.results.tests
    return any(one.day >= day and known_tests()[one.of]["kind"] == "germs" for one in tests)


def _done_since(read: Serviced, task: str, *, one: Load, day: date) -> bool:
    last = read.history.last_done(task, one.to)
    return last is not None and last >= day


def _due(read: Serviced, task: str, *, one: Load, says: str, why: str, due: date) -> Due:
    return Due(
        kind="load",
        task=task,
        things=(one.to,),
        says=says,
        due=due,
        today=read.today,
        by="load",
        why=why,
        source=sources()["common_practice"]["title"],
        last_done=read.history.last_done(task, one.to),
    )


def _word(what: str) -> str:
    return next(row["says"] for row in rows("load_questions") if row["what"] == what)
