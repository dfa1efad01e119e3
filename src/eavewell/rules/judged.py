"""A site laid beside an authority's rules: what is asked, what is done, what falls due."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from eavewell.rules.papers import Paper, judge_paper, unasked
from eavewell.rules.triggers import Met, cases, triggers_met
from eavewell.site.authority import Authority, Inspection, PaperAsked, Setback
from eavewell.site.permission import PaperDone
from eavewell.site.site import Site


@dataclass(frozen=True, slots=True)
class Spacing:
    """One tank and one setback; known_m : None where the distance is not given.

    tank : "" for a setback of something else than a tank, which is not measured.
    """

    tank: str
    setback: Setback
    known_m: float | None

    @property
    def is_kept(self) -> bool | None:
        """None where the distance is unknown."""
        if self.known_m is None:
            return None
        return self.known_m >= self.setback.least_m * (1.0 - 1e-9)


@dataclass(frozen=True, slots=True)
class Due:
    """When something is next looked at; day : None where no day of first use is known."""

    inspection: Inspection
    day: date | None


@dataclass(frozen=True, slots=True)
class Judged:
    """Everything an authority's file says about a site, on a day.

    unasked : papers that the owner has and nobody asks for here.
    """

    authority: Authority
    today: date
    triggers: tuple[Met, ...]
    spacings: tuple[Spacing, ...]
    papers: tuple[Paper, ...]
    unasked: tuple[PaperDone, ...]
    due: tuple[Due, ...]

    @property
    def missing(self) -> tuple[Paper, ...]:
        """Papers that are asked for and not given in time."""
        return tuple(one for one in self.papers if one.state != "done")

    @property
    def is_ready(self) -> bool:
        """Whether every paper is there in time and every setback with a known distance is kept."""
        return not self.missing and all(one.is_kept is not False for one in self.spacings)


def judge(site: Site, authority: Authority, *, today: date | None = None) -> Judged:
    """Lay a site beside the rules; today : day of judging, None takes the present day."""
    day = today or date.today()
    met = triggers_met(site, authority)
    at_site = cases(site)
    papers = tuple(
        judge_paper(asked, site.permission, today=day, is_sure=bool(is_sure))
        for asked in authority.papers
        if (is_sure := _is_asked(asked, met, at_site=at_site)) is not False
    )
    return Judged(
        authority=authority,
        today=day,
        triggers=met,
        spacings=tuple(_spacings(site, authority)),
        papers=papers,
        unasked=unasked(papers, site.permission),
        due=tuple(_due(site, authority, at_site=at_site, today=day)),
    )


def _is_asked(asked: PaperAsked, met: tuple[Met, ...], *, at_site: frozenset[str]) -> bool | None:
    """None where a trigger that would ask for it cannot be judged."""
    if asked.end_uses and at_site.isdisjoint(asked.end_uses):
        return False
    if not asked.triggers:
        return True
    mine = [one.is_met for one in met if one.trigger.name in asked.triggers]
    return True if True in mine else None if None in mine else False


def _spacings(site: Site, authority: Authority) -> Iterator[Spacing]:
    for setback in authority.setbacks:
        if setback.of != "tank":
            yield Spacing("", setback, None)
            continue
        for tank in site.tanks:
            if not tank.is_sump:
                yield Spacing(tank.name, setback, dict(tank.distances).get(setback.to))


def _due(
    site: Site, authority: Authority, *, at_site: frozenset[str], today: date
) -> Iterator[Due]:
    """The first day on or after today of each interval, counted from the first day of use."""
    for one in authority.inspections:
        if not one.end_uses or not at_site.isdisjoint(one.end_uses):
            yield Due(one, _next(site.permission.use, int(one.every_days), today=today))


def _next(use: date | None, every_days: int, *, today: date) -> date | None:
    if use is None:
        return None
    rounds = max(1, -(-(today - use).days // every_days))
    return use + timedelta(days=rounds * every_days)
