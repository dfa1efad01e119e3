"""What the water tests say of each use; 'no failure found' is the best that they can say."""

from collections.abc import Iterator

from eavewell.site.finding import COMMON, HEALTH_DECIDES, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.treatment.barriers import TreatedLine
from eavewell.treatment.classes import Fitness, UseFit
from eavewell.treatment.nothing_open import names_in, open_for, results_of
from eavewell.treatment.water_tests import Result, Tested, action_of, in_words, unit_of

# what bars drinking until it is mended, and yet harms nobody by a glass
_NOT_TODAY = ("sourness",)


def tests_read(
    site: Site, fitness: Fitness, *, tested: Tested, treated: tuple[TreatedLine, ...]
) -> Iterator[Finding]:
    """Checks of every use's planned tests against what laboratories found."""
    system = site.place.show
    for fit in fitness.uses:
        results = results_of(fit, tested)
        for one in results:
            if one.state == "failed":
                yield _failed(fit, one, system=system)
        yield from _proves_nothing(fit, results)
        if fit.use.end_use == "drinking":
            yield _drinking(fit, tested, treated=treated)
        elif site.water.tests:
            yield from _not_now(fit, results)


def _where(fit: UseFit) -> str:
    return f"use {fit.use.name!r}"


def _failed(fit: UseFit, one: Result, *, system: Show) -> Finding:
    plan, test = one.plan, one.latest
    assert test is not None
    today, tell, mend = action_of(plan.kind, plan.end_use)
    drinks = plan.end_use == "drinking"
    over = plan.most is not None and test.value > plan.most
    at = f" at {test.tap}" if test.tap else ""
    name = plan.of if plan.of == "pH" else f"{plan.of[:1].upper()}{plan.of[1:]}"
    told = f" Today: {today}.{f' The {tell} must be told.' if tell else ''}" if drinks else ""
    return Finding(
        "water-test-failed",
        "stop" if drinks and plan.kind not in _NOT_TODAY else "fix",
        _where(fit),
        f"{name}{at} on {test.day}: {in_words(test, system)}.{told} {HEALTH_DECIDES}",
        measured=test.value,
        limit=plan.most if over else plan.least,
        unit=unit_of(plan.of),
        source=plan.source,
        fix=mend,
    )


def _proves_nothing(fit: UseFit, results: list[Result]) -> Iterator[Finding]:
    names = names_in(results, "proves nothing")
    if names:
        yield Finding(
            "test-proves-nothing",
            "watch",
            _where(fit),
            f"{names}: the smallest amount that the laboratory could see lies above the limit. "
            f"{HEALTH_DECIDES}",
            source=COMMON,
            fix="a test that can see the limit",
        )


def _drinking(fit: UseFit, tested: Tested, *, treated: tuple[TreatedLine, ...]) -> Finding:
    missing = ", ".join(open_for(fit, tested, treated=treated))
    if missing:
        return Finding(
            "drinking-not-judged",
            "stop",
            _where(fit),
            f"Not drinking water until roof, treatment and tests are entered and judged; open: "
            f"{missing}. {HEALTH_DECIDES}",
            source=COMMON,
            fix="enter what is open; until then 'not for drinking' at every tap",
        )
    results = results_of(fit, tested)
    latest = max(one.latest.day for one in results if one.latest)
    due = min(one.due for one in results if one.due)
    return Finding(
        "no-failure-found",
        "note",
        _where(fit),
        f"Roof, treatment and tests are entered, and no failure was found up to {latest}; that "
        f"expires on {due}. It is no approval. {HEALTH_DECIDES}",
        source=COMMON,
    )


def _not_now(fit: UseFit, results: list[Result]) -> Iterator[Finding]:
    again = names_in(results, "expired") or names_in(results, "one more clear test")
    if again:
        says = f"Due again: tests of {again}."
        yield Finding("water-test-due", "watch", _where(fit), says, source=COMMON)
    never = names_in(results, "open")
    # what stock need first has a word of its own among the checks of fitness
    if never and fit.use.end_use != "animals":
        yield Finding("water-not-tested", "note", _where(fit), f"Not tested: {never}.")
