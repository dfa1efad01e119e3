"""Choices weighed: every way an owner is ready to build, by what it costs and what it gives.

The balance runs all choices in one batch and a separable price ranks them; only the front is taken
off and priced in full, and drawn again where a full price moves it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np

from eavewell.cost.separable import Pricing, separable
from eavewell.design import Design, design
from eavewell.site.beside import Beside
from eavewell.site.money import PriceBook
from eavewell.site.rain_record import RainRecord
from eavewell.site.site import Site
from eavewell.storage.choices import run_choices
from eavewell.storage.rebuilt import garden_only, household_only
from eavewell.weigh.choices import choices_of, tank_of
from eavewell.weigh.front import front, thinned
from eavewell.weigh.scale import Scale
from eavewell.weigh.step import Step, best_step
from eavewell.weigh.weights import Weight

MOST_FULL = 20
_ROUNDS = 20


@dataclass(frozen=True, slots=True)
class Weighed:
    """The choices of a site.

    tank     : the store that is varied. tried : how many choices.
    by_days, by_loads : fronts of whole-life cost against days met, and against loads of the worst
               year; by_loads is empty where nothing is hauled.
    cheapest : the cheapest that meets every goal; None where none does, then `nearest` stands in.
    step     : the purchase that gains most for its price; None where none gains.
    """

    design: Design
    tank: str
    tried: int
    present: Weight
    by_days: tuple[Weight, ...]
    by_loads: tuple[Weight, ...]
    cheapest: Weight | None
    nearest: Weight
    step: Step | None
    limits: tuple[str, ...]


def weigh(
    site: Site,
    record: RainRecord,
    *,
    beside: Beside,
    today: date | None = None,
    most_full: int = MOST_FULL,
    drawn: Design | None = None,
) -> Weighed:
    """Weigh every choice of a site on a rain record.

    beside    : with its price book. most_full : choices of a front that are priced in full.
    drawn     : the site's design on this record, where there is one already.
    Raises BadSite for more than 20,000 choices or a tank that is not there.
    """
    book = beside.prices or PriceBook(site.money.currency, ())
    drawn = drawn or design(site, record, beside=beside, today=today)
    tank = tank_of(site)
    choices = choices_of(site, tank)
    balance = run_choices(drawn.moved.site, drawn.moved.water, choices=choices, tank=tank)
    l_day = {run.line.name: run.l_day for run in drawn.served if run.l_day}
    pricing = Pricing(tank, book, drawn.reckoned.energy, l_day)
    price = separable(site, choices, pricing=pricing)
    scale = Scale(site, pricing, price, balance, choices, drawn.moved.site)
    return _weighed(drawn, scale, most_full=most_full)


def _weighed(drawn: Design, scale: Scale, *, most_full: int) -> Weighed:
    weights = scale.weights()
    weights[0] = scale.in_full(0, weights[0])
    marks = _settled(scale, weights, most=most_full)
    return Weighed(
        design=drawn,
        tank=scale.pricing.tank,
        tried=len(weights),
        present=weights[0],
        by_days=tuple(weights[at] for at in marks.by_days),
        by_loads=tuple(weights[at] for at in marks.by_loads),
        cheapest=None if marks.cheapest is None else weights[marks.cheapest],
        nearest=weights[_nearest(weights)],
        step=best_step(weights),
        limits=tuple(_limits(scale)),
    )


@dataclass(frozen=True, slots=True)
class _Marks:
    """Places of the marked choices in the list of all."""

    by_days: tuple[int, ...]
    by_loads: tuple[int, ...]
    cheapest: int | None

    @property
    def all(self) -> set[int]:
        """Every one of them once."""
        cheapest = () if self.cheapest is None else (self.cheapest,)
        return {*self.by_days, *self.by_loads, *cheapest}


def _settled(scale: Scale, weights: list[Weight], *, most: int) -> _Marks:
    """Both fronts and the cheapest, priced in full and marked again until no price moves them."""
    for _ in range(_ROUNDS):
        marks = _marked(scale, weights, most=most)
        rough = [at for at in sorted(marks.all) if not weights[at].full]
        if not rough:
            break
        for at in rough:
            weights[at] = scale.in_full(at, weights[at])
    return marks


def _marked(scale: Scale, weights: list[Weight], *, most: int) -> _Marks:
    cost = np.array([one.life.typical for one in weights])
    days = np.array([one.days_met_share for one in weights])
    loads = np.array([_few_loads(one) for one in weights])
    meeting = [at for at, one in enumerate(weights) if one.meets_goals]
    return _Marks(
        thinned(front(cost, days), most),
        thinned(front(cost, loads), most) if scale.site.hauling else (),
        min(meeting, key=lambda at: (cost[at], at), default=None),
    )


def _few_loads(weight: Weight) -> float:
    """Few loads count only where no dry spell is longer than the goals allow."""
    return -float(weight.worst_year_loads) if weight.holds_out else -np.inf


def _nearest(weights: list[Weight]) -> int:
    """The choice with the shortest dry spell, then the most days met, then the least cost."""
    return min(
        range(len(weights)),
        key=lambda at: (
            not weights[at].meets_goals,
            weights[at].longest_short_days,
            weights[at].worst_year_loads,
            -weights[at].days_met_share,
            weights[at].life.typical,
        ),
    )


def _limits(scale: Scale) -> Iterable[str]:
    asked, book = scale.site.weighing, scale.pricing.book
    if not book.prices:
        yield f"no part has a price in {book.currency}: energy, tests and bought water alone"
    yield "prices of the front in full, of the other choices as a sum of their changes"
    yield "a tank of another size is as high as the present one, and wider or narrower"
    if not asked.each_l and not asked.counts:
        yield "sizes as commonly sold"
    if asked.roofs_m2:
        yield "roof grown or cut in proportion, gutters, downspouts and first flush with it"
    if asked.fixtures and not household_only(scale.site):
        yield "no use here is a household: better fixtures change nothing"
    if asked.gardens and not garden_only(scale.site):
        yield "no use here is plants alone: a smaller garden changes nothing"
    yield "water, pumps and checks of a choice: build it into a site file and design it"
