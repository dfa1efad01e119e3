"""Which water tests a site needs and what results say; a pass is only 'no failure found'."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from itertools import takewhile
from typing import Literal

from eavewell.site.authority import Authority
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.site.water import WaterTest
from eavewell.tables import rows, sources
from eavewell.treatment.classes import Fitness, UseFit
from eavewell.units import quantities, show

State = Literal[
    "no failure found", "failed", "one more clear test", "proves nothing", "expired", "open"
]
# clear tests running that end a failure of germs
CLEAR_TESTS = 2
# results of one day, the worst first
_WORST: tuple[State, ...] = ("failed", "proves nothing", "no failure found")


@dataclass(frozen=True, slots=True)
class PlannedTest:
    """One test of one class.

    least, most : limits in the unit of tables/water_tests.csv; None for none.
    every_days  : how often; None once. kind : germs, metal, sourness, chemistry or clearness.
    source      : where the limit stands; of the authority where its file states one.
    """

    of: str
    end_use: str
    least: float | None
    most: float | None
    every_days: float | None
    kind: str
    quantity: str
    source: str


@dataclass(frozen=True, slots=True)
class Result:
    """What is known of one planned test.

    latest : the newest result; None where there is none. due : day on which the next one is due.
    """

    plan: PlannedTest
    state: State
    latest: WaterTest | None
    due: date | None


@dataclass(frozen=True, slots=True)
class Tested:
    """All planned tests against all results, on a day."""

    today: date
    results: tuple[Result, ...]

    def of_class(self, end_use: str) -> tuple[Result, ...]:
        """The results of one class."""
        return tuple(one for one in self.results if one.plan.end_use == end_use)


def test_water(
    site: Site, fitness: Fitness, *, authority: Authority | None = None, today: date | None = None
) -> Tested:
    """Plan the tests of every class a site serves and judge what was found.

    today : day of judging; None takes the present day.
    """
    day = today or date.today()
    plan = plan_of(fitness, authority)
    return Tested(day, tuple(_judge(one, site.water.tests, today=day) for one in plan))


test_water.__test__ = False  # type: ignore[attr-defined]


def plan_of(fitness: Fitness, authority: Authority | None = None) -> tuple[PlannedTest, ...]:
    """Tests by class: the authority's limits where it states any, else the table's."""
    found: dict[tuple[str, str], PlannedTest] = {}
    for fit in fitness.uses:
        for case in fit.cases:
            for plan in (*_by_table(case), *_by_authority(case, authority), *_by_roof(fit, case)):
                if plan.source or (plan.of, plan.end_use) not in found:
                    found[plan.of, plan.end_use] = plan
    return tuple(found.values())


def _by_table(case: str, asked: str = "always") -> Iterator[PlannedTest]:
    for row in rows("water_limits"):
        if row["end_use"] == case and row["asked"] == asked:
            limits = [float(row[end]) if row[end] else None for end in ("least", "most")]
            every = float(row["every_days"]) if row["every_days"] else None
            source = f"{sources()[row['source']]['title']}, {row['place']}"
            yield _planned(row["of"], case, limits=limits, every_days=every, source=source)


def _by_authority(case: str, authority: Authority | None) -> Iterator[PlannedTest]:
    """The authority's limits; the least and the interval stay the table's where it states none."""
    ours = {one.of: one for one in _by_table(case)}
    for one in authority.limits if authority else ():
        if one.end_use == case and one.of in known_tests():
            mine = ours.get(one.of)
            every_days = one.every_days or (mine.every_days if mine else None)
            limits = [mine.least if mine else None, one.most]
            source = one.written.in_words
            yield _planned(one.of, case, limits=limits, every_days=every_days, source=source)


def _by_roof(fit: UseFit, case: str) -> Iterator[PlannedTest]:
    """What a roof's materials ask for, where water is drunk by people or animals.

    Without a limit of its own it is read beside the others.
    """
    if case in ("drinking", "animals"):
        limited = {one.of: one for one in _by_table(case, "by roof")}
        for name in fit.tests:
            plain = _planned(name, case, limits=[None, None], every_days=None, source="")
            yield limited.get(name, plain)


def _planned(
    of: str, case: str, *, limits: list[float | None], every_days: float | None, source: str
) -> PlannedTest:
    row = known_tests()[of]
    return PlannedTest(
        of, case, limits[0], limits[1], every_days, row["kind"], row["quantity"], source
    )


@cache
def known_tests() -> dict[str, dict[str, str]]:
    """Every test by its name."""
    return {row["of"]: dict(row) for row in rows("water_tests")}


def action_of(kind: str, end_use: str) -> tuple[str, str, str]:
    """What to do today after a failure, who is told, and what mends it, by what water is used for.

    end_use : one of the cases of treatment/classes.py.
    """
    row = next(
        row for row in rows("water_actions") if (row["kind"], row["end_use"]) == (kind, end_use)
    )
    return row["today"], row["tell"], row["mend"]


def _judge(plan: PlannedTest, tests: tuple[WaterTest, ...], *, today: date) -> Result:
    days = _worst_by_day(plan, [one for one in tests if one.of == plan.of and one.day <= today])
    if not days:
        return Result(plan, "open", None, today)
    state = _state(plan, days)
    latest = next(one for one in reversed(days) if state != "failed" or says(plan, one) == "failed")
    due = None if plan.every_days is None else latest.day + timedelta(days=plan.every_days)
    if state == "no failure found" and due is not None and today > due:
        state = "expired"
    return Result(plan, state, latest, due if state in ("no failure found", "expired") else today)


def _worst_by_day(plan: PlannedTest, mine: list[WaterTest]) -> list[WaterTest]:
    """The worst result of each day, oldest first: a clear tap does not clear another."""
    worst: dict[date, WaterTest] = {}
    for one in sorted(mine, key=lambda one: (one.day, _WORST.index(says(plan, one)))):
        worst.setdefault(one.day, one)
    return list(worst.values())


def _state(plan: PlannedTest, days: list[WaterTest]) -> State:
    """What the results say, whatever their age.

    A failure stands until it is cleared: neither a test that proves nothing nor time ends it.
    """
    found = [says(plan, one) for one in days]
    since = list(takewhile(lambda one: one != "failed", reversed(found)))
    clear = since.count("no failure found")
    wanted = CLEAR_TESTS if plan.kind == "germs" else 1
    if len(since) < len(found) and clear < wanted:
        return "one more clear test" if clear else "failed"
    return found[-1]


def says(plan: PlannedTest, test: WaterTest) -> State:
    """What one result says by itself.

    'Less than 10' against a limit of 0 proves nothing: the laboratory could not see so little.
    'Less than' the least fails, and less than anything above it proves nothing.
    """
    if test.below and plan.least is not None:
        return "failed" if test.value <= plan.least else "proves nothing"
    if test.below:
        seen = plan.most is None or test.value <= plan.most or (plan.most == 0 and test.value <= 1)
        return "no failure found" if seen else "proves nothing"
    over = plan.most is not None and test.value > plan.most
    under = plan.least is not None and test.value < plan.least
    return "failed" if over or under else "no failure found"


def unit_of(of: str) -> str:
    """The unit in which a test counts, such as "/100 mL"."""
    quantity = known_tests()[of]["quantity"]
    return "pH" if quantity == "ph" else quantities()[quantity].internal or "share"


def in_words(test: WaterTest, system: Show) -> str:
    """A result with its unit."""
    return ("less than " if test.below else "") + amount(test.of, test.value, system=system)


def amount(of: str, value: float, *, system: Show) -> str:
    """An amount of one test with its unit."""
    quantity = known_tests()[of]["quantity"]
    return f"pH {value:g}" if quantity == "ph" else show(value, quantity, system=system)
