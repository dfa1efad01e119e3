"""Water tests of file and log against their limits: what to do today, when to test again."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from eavewell.logbook.upkeep.care import Care
from eavewell.logbook.upkeep.noted import Noted
from eavewell.site.site import Site
from eavewell.site.water import WaterTest
from eavewell.tables import table
from eavewell.treatment.order import uses_of
from eavewell.treatment.water_tests import (
    CLEAR_TESTS,
    PlannedTest,
    Result,
    State,
    action_of,
    known_tests,
    says,
)

GOOD: State = "no failure found"


@dataclass(frozen=True, slots=True)
class Found:
    """What is known of one planned test, and what follows from it.

    history    : its results, the newest first.
    expires    : last day on which a pass holds; None where there is none or it does not expire.
    clear_left : clear tests still wanted before the water is used again; 0 where none is.
    retest     : first day for the next sample; None where it waits for something to be mended.
    today, tell, mend : what is done at once, who is told, what mends it; "" where nothing failed.
    """

    result: Result
    history: tuple[WaterTest, ...]
    expires: date | None
    clear_left: int
    retest: date | None
    today: str = ""
    tell: str = ""
    mend: str = ""

    @property
    def plan(self) -> PlannedTest:
        """What was asked for."""
        return self.result.plan

    @property
    def holds_back(self) -> bool:
        """Whether the water is held back: it failed, or is not yet clear again."""
        return self.result.state in ("failed", "one more clear test")


@dataclass(frozen=True, slots=True)
class Results:
    """All tests of a site on a day.

    tests  : every result, the newest first. beside : those that no class asks for.
    taps   : where people drink, by name.
    """

    day: date
    tests: tuple[WaterTest, ...]
    found: tuple[Found, ...]
    beside: tuple[WaterTest, ...]
    taps: tuple[str, ...]

    @property
    def held_back(self) -> tuple[Found, ...]:
        """What failed and is not yet clear again."""
        return tuple(one for one in self.found if one.holds_back)


def results(care: Care, noted: Noted, *, day: date) -> Results:
    """Judge every planned test on a day, by the results of the site file and of the log."""
    tests = all_tests(care.site, noted)
    planned = care.tested(tests, today=day).results
    asked = {one.plan.of for one in planned}
    past = [one for one in tests if one.day <= day]
    return Results(
        day,
        tests,
        tuple(_found(one, past, cleaned=_cleaned(noted), day=day) for one in planned),
        tuple(one for one in past if one.of not in asked),
        drinking_taps(care),
    )


def with_all_tests(site: Site, noted: Noted) -> Site:
    """The site with the results of its log as well, for a design that judges its water."""
    return replace(site, water=replace(site.water, tests=all_tests(site, noted)))


def all_tests(site: Site, noted: Noted) -> tuple[WaterTest, ...]:
    """Results of the site file and of the log, each once, the newest first.

    The log's word on tap and laboratory stands where both hold the same result.
    """
    once: dict[tuple[str, date, float, bool], list[WaterTest]] = {}
    for one in (*site.water.tests, *(entry.test for entry in noted.tested)):
        if one.of in known_tests():
            same = once.setdefault((one.of, one.day, one.value, one.below), [])
            _take(same, one)
    found = [one for same in once.values() for one in same]
    return tuple(sorted(found, key=lambda one: (one.day, one.of), reverse=True))


def _take(same: list[WaterTest], one: WaterTest) -> None:
    """Add a result unless it is there; where only the tap was not written down, it is the same."""
    for at, there in enumerate(same):
        if one.tap == there.tap or "" in (one.tap, there.tap):
            same[at] = WaterTest(
                one.of,
                one.value,
                one.day,
                one.below,
                one.tap or there.tap,
                one.laboratory or there.laboratory,
            )
            return
    same.append(one)


def _cleaned(noted: Noted) -> date | None:
    """The last day on which something was disinfected."""
    days = [noted.day(one.at) for one in noted.done if "disinfect" in one.task and not one.until]
    return max(days, default=None)


def _found(one: Result, tests: Iterable[WaterTest], *, cleaned: date | None, day: date) -> Found:
    mine = tuple(test for test in tests if test.of == one.plan.of)
    left = _clear_left(one, mine)
    expires = one.due if one.state in (GOOD, "expired") and one.latest else None
    retest = _retest(one, cleaned=cleaned, day=day)
    if one.state in ("failed", "one more clear test"):
        today, tell, mend = action_of(one.plan.kind, one.plan.end_use)
        return Found(one, mine, expires, left, retest, today, tell, mend)
    return Found(one, mine, expires, left, retest)


def _clear_left(one: Result, mine: tuple[WaterTest, ...]) -> int:
    if one.state == "failed":
        return CLEAR_TESTS if one.plan.kind == "germs" else 1
    if one.state != "one more clear test":
        return 0
    clear = set[date]()
    for test in mine:
        said = says(one.plan, test)
        if said == "failed":
            break
        if said == GOOD:
            clear.add(test.day)
    return max(CLEAR_TESTS - len(clear), 1)


def _retest(one: Result, *, cleaned: date | None, day: date) -> date | None:
    waits = table("water_retest")
    if one.latest is None or one.state in (GOOD, "expired", "proves nothing"):
        return one.due
    if one.state == "one more clear test":
        return one.latest.day + timedelta(days=waits["between clear tests"].value)
    if one.plan.kind != "germs":
        return day
    if cleaned is None or cleaned < one.latest.day:
        return None
    return cleaned + timedelta(days=waits["after disinfecting"].value)


def drinking_taps(care: Care) -> tuple[str, ...]:
    """The sinks from which people drink; () where none is named: the tap that is used."""
    site = care.site
    return tuple(
        outlet.name
        for line in site.lines
        if any(use.end_use == "drinking" for use in uses_of(site, line))
        for outlet in line.outlets
        if "sink" in outlet.fixture
    )
