"""Which uses may wear 'treated for drinking': roof, treatment and tests in, no failure found."""

from collections.abc import Iterator

from eavewell.treatment.barriers import TreatedLine
from eavewell.treatment.classes import Fitness, UseFit
from eavewell.treatment.water_tests import Tested


def nothing_open(
    fitness: Fitness, tested: Tested, *, treated: tuple[TreatedLine, ...]
) -> frozenset[str]:
    """Names of the drinking uses of which nothing is open; it is no approval of their water."""
    drinks = (fit for fit in fitness.uses if fit.use.end_use == "drinking")
    return frozenset(fit.use.name for fit in drinks if all(_entered(fit, tested, treated=treated)))


def _entered(fit: UseFit, tested: Tested, *, treated: tuple[TreatedLine, ...]) -> Iterator[bool]:
    """The roof, the treatment, the tests."""
    yield bool(fit.roofs) and not fit.against("unknown") and not fit.against("no")
    runs = [run for run in treated if fit.use in run.uses]
    yield bool(runs) and all(_earns(run) for run in runs)
    results = [one for case in fit.cases for one in tested.of_class(case)]
    yield bool(results) and all(one.state == "no failure found" for one in results)


def _earns(run: TreatedLine) -> bool:
    """Whether its barriers earn logs, and all that the authority asks where it asks any."""
    earned = any(credit.logs > 0.0 for credit in run.credits)
    return earned and all(one.short == 0.0 for one in run.against)
