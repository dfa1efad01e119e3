"""Which drinking uses have roof, treatment and tests in, no failure found; never an approval."""

from collections.abc import Iterable, Iterator

from eavewell.treatment.barriers import (
    DISINFECTS,
    TreatedLine,
    has_fine_filter,
    has_shut_valve,
)
from eavewell.treatment.classes import Fitness, UseFit
from eavewell.treatment.credit import is_stabilised
from eavewell.treatment.water_tests import Result, State, Tested

_OPEN: tuple[tuple[State, str], ...] = (
    ("open", "tests of"),
    ("expired", "tests again of"),
    ("failed", "clear tests of"),
    ("one more clear test", "a second clear test of"),
    ("proves nothing", "tests that can see the limit of"),
)


def nothing_open(
    fitness: Fitness, tested: Tested, *, treated: tuple[TreatedLine, ...]
) -> frozenset[str]:
    """Names of the drinking uses of which nothing is open; only these may say so on a label."""
    return frozenset(
        fit.use.name
        for fit in fitness.uses
        if fit.use.end_use == "drinking" and not any(open_for(fit, tested, treated=treated))
    )


def open_for(fit: UseFit, tested: Tested, *, treated: tuple[TreatedLine, ...]) -> Iterator[str]:
    """What is still open before the water of a use can be judged, in words."""
    if fit.against("unknown") or fit.against("no") or fit.ask_maker or not fit.roofs:
        yield "the roof"
    if fit.tanks:
        yield f"the tank ({', '.join(one.tank for one in fit.tanks)})"
    runs = [run for run in treated if fit.use in run.uses]
    if not runs or not all(treatment_stands(run) for run in runs):
        yield "the treatment"
    results = results_of(fit, tested)
    for state, words in _OPEN:
        if names := names_in(results, state):
            yield f"{words} {names}"


def treatment_stands(run: TreatedLine) -> bool:
    """Whether a line's barriers stand as they must and earn all that the authority asks.

    Every lamp behind its fine filter and its shut valve, contact without a doubt, no chlorine
    stabilised, no way around what disinfects.
    """
    lit = all(has_fine_filter(run.line, lamp.thing) for lamp in run.lamps)
    shut = not run.lamps or has_shut_valve(run.line) is True
    in_contact = run.contact is None or not run.contact.why
    spoiled = any(
        is_stabilised(thing) or (thing.bypass and thing.kind in DISINFECTS)
        for thing in run.line.in_line
    )
    return lit and shut and in_contact and not spoiled and _earns(run)


def _earns(run: TreatedLine) -> bool:
    earned = any(credit.logs > 0.0 for credit in run.credits)
    return earned and all(one.short == 0.0 for one in run.against)


def results_of(fit: UseFit, tested: Tested) -> list[Result]:
    """The planned tests of a use with what they say."""
    return [one for case in fit.cases for one in tested.of_class(case)]


def names_in(results: Iterable[Result], state: State) -> str:
    """The tests in one state, each once."""
    return ", ".join(dict.fromkeys(one.plan.of for one in results if one.state == state))
