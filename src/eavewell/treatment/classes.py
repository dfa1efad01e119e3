"""What the water of a roof may be used for, and what must be found out first; never an approval."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Literal

from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.site.use import Use
from eavewell.tables import rows
from eavewell.treatment.materials import TankDoubt, tank_doubts
from eavewell.treatment.order import reached_from, uses_of

Case = Literal["drinking", "indoor", "animals", "outdoor", "spray", "edible", "dairy"]
CASES: tuple[Case, ...] = ("drinking", "indoor", "animals", "outdoor", "spray", "edible", "dairy")
Allowed = Literal["yes", "ask", "unknown", "no"]
_WORST: tuple[Allowed, ...] = ("no", "unknown", "ask", "yes")


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a roof allows for one case.

    allowed  : "no" is ruled out, "unknown" waits for something to be found out, "ask" may be
               allowed by its maker or a test. why, find_out : of everything that speaks against.
    ask_maker : True where something has to be asked that no test of the water answers.
    """

    case: Case
    allowed: Allowed
    why: tuple[str, ...]
    find_out: tuple[str, ...]
    ask_maker: bool = False


@dataclass(frozen=True, slots=True)
class RoofFit:
    """One roof; tests : names of water tests that its materials ask for."""

    roof: Roof
    verdicts: tuple[Verdict, ...]
    tests: tuple[str, ...]

    def verdict(self, case: Case) -> Verdict:
        """What it allows for one case."""
        return next(one for one in self.verdicts if one.case == case)


@dataclass(frozen=True, slots=True)
class UseFit:
    """One use with the roofs whose water reaches it.

    cases : its class and the marked cases it is. tests : of all those roofs. tanks : those that
    stand against drinking it, where it is drunk.
    """

    use: Use
    cases: tuple[Case, ...]
    roofs: tuple[RoofFit, ...]
    tests: tuple[str, ...]
    tanks: tuple[TankDoubt, ...] = ()

    @property
    def ask_maker(self) -> bool:
        """Whether something has to be asked of a roof's maker that no test answers."""
        return any(fit.verdict(case).ask_maker for fit in self.roofs for case in self.cases)

    def against(self, allowed: Allowed) -> tuple[tuple[RoofFit, Verdict], ...]:
        """Roofs and verdicts of that kind that stand against the use."""
        return tuple(
            (fit, verdict)
            for fit in self.roofs
            for case in self.cases
            if (verdict := fit.verdict(case)).allowed == allowed
        )


@dataclass(frozen=True, slots=True)
class Fitness:
    """Every caught roof and every use of a site."""

    roofs: tuple[RoofFit, ...]
    uses: tuple[UseFit, ...]

    @property
    def tests(self) -> tuple[str, ...]:
        """Water tests that the roofs ask for, each once."""
        return tuple(dict.fromkeys(name for fit in self.roofs for name in fit.tests))


def fit_for_use(site: Site) -> Fitness:
    """Judge every roof whose water is caught, and every use by the roofs that feed it."""
    roofs = tuple(roof_fit(roof) for roof in site.roofs if roof.drains_to)
    return Fitness(roofs, tuple(_use_fit(site, use, roofs=roofs) for use in site.uses))


def roof_fit(roof: Roof) -> RoofFit:
    """What one roof allows, by tables/roof_fitness.csv."""
    known = (_row(aspect, value) for aspect, value in _aspects(roof))
    found = [_answered(row, roof.surface.cleared) for row in known if row is not None]
    tests = [name for row in found for name in row["tests"].split("|") if name]
    return RoofFit(
        roof, tuple(_verdict(case, found) for case in CASES), tuple(dict.fromkeys(tests))
    )


def _aspects(roof: Roof) -> Iterator[tuple[str, str]]:
    surface = roof.surface
    yield "finish", roof.finish
    yield "flashing", surface.flashing
    yield "paint", surface.paint
    yield "timber", _word(surface.treated_timber)
    yield "trees", surface.trees
    yield "birds", surface.birds
    yield "flue", _word(surface.flue)
    yield "panels", _word(surface.panels)


def _word(known: bool | None) -> str:
    return "" if known is None else "yes" if known else "no"


@cache
def _table() -> dict[tuple[str, str], dict[str, str]]:
    return {(row["aspect"], row["which"]): dict(row) for row in rows("roof_fitness")}


def _row(aspect: str, value: str) -> dict[str, str] | None:
    """A row of the table; a word that it does not know is as good as unknown."""
    row = _table().get((aspect, value))
    return row or _table().get((aspect, "")) or _table().get((aspect, "unknown"))


def _answered(row: dict[str, str], cleared: str) -> dict[str, str]:
    """The row with what has to be asked answered by a document; a test answers by itself."""
    if not cleared or row["tests"]:
        return row
    return row | {case: "yes" for case in CASES if row[case] == "ask"}


def _verdict(case: Case, found: list[dict[str, str]]) -> Verdict:
    worst = min((row[case] for row in found), key=_WORST.index, default="yes")
    against = [row for row in found if row[case] != "yes"]
    find_out = [row["find_out"] for row in against if row[case] in ("unknown", "ask")]
    return Verdict(
        case,
        worst,  # type: ignore[arg-type]
        tuple(row["why"] for row in against if row["why"]),
        tuple(dict.fromkeys(words for words in find_out if words)),
        any(row[case] == "ask" and not row["tests"] for row in against),
    )


def _use_fit(site: Site, use: Use, *, roofs: tuple[RoofFit, ...]) -> UseFit:
    feeding = tuple(
        fit
        for fit in roofs
        if not reached_from(site, fit.roof.drains_to).isdisjoint(use.draws_from)
    )
    tests = dict.fromkeys(name for fit in feeding for name in fit.tests)
    cases = cases_of(use)
    passed = [
        tank.name
        for tank in site.tanks
        if "drinking" in cases and not reached_from(site, tank.name).isdisjoint(use.draws_from)
    ]
    return UseFit(use, cases, feeding, tuple(tests), tank_doubts(site, passed))


def cases_of(use: Use) -> tuple[Case, ...]:
    """The class of a use and the marked cases that it is."""
    marked: tuple[tuple[bool | None, Case], ...] = (
        (use.spray, "spray"),
        (use.edible, "edible"),
        (use.dairy, "dairy"),
    )
    return (use.end_use, *(case for is_it, case in marked if is_it))


def copper_near(site: Site, fit: UseFit) -> tuple[str, ...]:
    """Everything of copper that the water of a use passes, in words."""
    found = [f"roof {one.roof.name!r}" for one in fit.roofs if _is_copper(one.roof)]
    for line in site.lines:
        is_copper = any("copper" in pipe.material for pipe, _ in line.pipes)
        if is_copper and fit.use in uses_of(site, line):
            found.append(f"line {line.name!r}")
    return tuple(found)


def _is_copper(roof: Roof) -> bool:
    return roof.surface.flashing == "copper" or "copper" in roof.finish
