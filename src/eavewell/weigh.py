"""Choices weighed: every way an owner is ready to build, by what it costs and what it gives.

The balance runs all choices in one batch and a separable price ranks them; only the front is taken
off and priced in full, and drawn again where a full price moves it.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date
from itertools import product

import numpy as np
from numpy.typing import NDArray

from eavewell.cost.band import Band
from eavewell.cost.energy import Energy
from eavewell.cost.separable import Separable, full_price, separable
from eavewell.cost.yearly_water import YearlyWater
from eavewell.design import Design, design
from eavewell.faults import BadSite
from eavewell.site.beside import Beside
from eavewell.site.money import PriceBook
from eavewell.site.rain_record import FloatArray, RainRecord
from eavewell.site.site import Site
from eavewell.site.weighing import Choice
from eavewell.storage.balance import Balance
from eavewell.storage.choices import run_choices
from eavewell.storage.goals import all_reached
from eavewell.storage.rebuilt import as_it_stands, garden_only, household_only
from eavewell.storage.sizing import varied_store
from eavewell.tables import rows

MOST_CHOICES = 20_000
MOST_FULL = 20
_ROUNDS = 8
_SAME_SIZE = 0.02  # a sold size within this share of the present one is the present one
_YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True)
class Weight:
    """One choice with what it gives and what it costs.

    cut_days_year : days of a mean year on which any use got less than it wanted.
    longest_short_days : of any one use. holds_out : it meets every goal but those on loads.
    first, life : money to have it, and of its whole life.
    full : True where every part was taken off and priced; else the price is the sum of changes.
    """

    choice: Choice
    supplied_share: float
    days_met_share: float
    cut_days_year: float
    longest_short_days: int
    loads_year: float
    worst_year_loads: int
    meets_goals: bool
    holds_out: bool
    first: Band
    life: Band
    full: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One purchase from where the owner stands: a single thing changed.

    price : money to have it. days_year, loads_year : short days and loads fewer in a mean year.
    """

    weight: Weight
    what: str
    price: float
    days_year: float
    loads_year: float


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
) -> Weighed:
    """Weigh every choice of a site on a rain record.

    beside    : with its price book. most_full : choices of a front that are priced in full.
    Raises BadSite for more than 20,000 choices or a tank that is not there.
    """
    book = beside.prices or PriceBook(site.money.currency, ())
    drawn = design(site, record, beside=beside, today=today)
    tank = tank_of(site)
    choices = choices_of(site, tank)
    balance = run_choices(drawn.moved.site, drawn.moved.water, choices=choices, tank=tank)
    energy = drawn.reckoned.energy
    price = separable(site, choices, tank=tank, book=book, energy=energy)
    scale = _Scale(site, tank, book, energy, price, balance, choices, drawn.moved.site)
    return _weighed(drawn, scale, most_full=most_full)


def tank_of(site: Site) -> str:
    """The store whose size is varied."""
    named = site.weighing.tank
    if not named:
        return site.tanks[varied_store(site)].name
    if named not in {tank.name for tank in site.tanks}:
        known = ", ".join(repr(tank.name) for tank in site.tanks)
        raise BadSite(f"[weigh] there is no tank {named!r}: the site has {known}.")
    return named


def choices_of(site: Site, tank: str) -> tuple[Choice, ...]:
    """Every choice, the site as it stands first; each thing may also stay as it is."""
    present, asked = as_it_stands(site, tank), site.weighing
    axes = (
        tuple(dict.fromkeys(_tanks(site, present))),
        tuple(dict.fromkeys((present.roof_m2, *asked.roofs_m2))),
        tuple(dict.fromkeys((1.0, *asked.fixtures))),
        tuple(dict.fromkeys((1.0, *asked.gardens))),
        (True, False) if asked.rations else (True,),
    )
    count = int(np.prod([len(axis) for axis in axes]))
    if count > MOST_CHOICES:
        raise BadSite(
            f"[weigh] makes {count:,} choices, more than {MOST_CHOICES:,}: name fewer sizes, "
            "roofs, fixtures or gardens."
        )
    made = (
        Choice(tanks[0], tanks[1], roof_m2, fixtures, garden, rations)
        for tanks, roof_m2, fixtures, garden, rations in product(*axes)
    )
    return tuple(dict.fromkeys((present, *made)))


def _tanks(site: Site, present: Choice) -> Iterable[tuple[int, float]]:
    """Count and size of the tanks of every choice."""
    asked = site.weighing
    if asked.each_l or asked.counts:
        sizes, counts = asked.each_l or (present.each_l,), asked.counts or (present.count,)
        yield from product(counts, sizes)
        return
    yield from ((count, present.each_l) for count in range(1, 2 * present.count + 3))
    for row in rows("standard_tanks"):
        each_l = float(row["volume_l"])
        if row["system"] == site.place.show and abs(each_l / present.each_l - 1.0) > _SAME_SIZE:
            yield from ((count, each_l) for count in (1, present.count))


@dataclass(frozen=True, slots=True, eq=False)
class _Scale:
    """Everything a choice is weighed on."""

    site: Site
    tank: str
    book: PriceBook
    energy: Energy
    price: Separable
    balance: Balance
    choices: tuple[Choice, ...]
    ran: Site

    def weights(self) -> list[Weight]:
        """Every choice at its separable price."""
        met = all_reached(self.ran, self.balance)
        dry = tuple(goal for goal in self.ran.goals if goal.measure != "loads_in_worst_year")
        out = all_reached(replace(self.ran, goals=dry), self.balance)
        flags = zip(met.tolist(), out.tolist(), strict=True)
        return [
            self._weight(at, meets=meets, holds_out=holds)
            for at, (meets, holds) in enumerate(flags)
        ]

    def _weight(self, at: int, *, meets: bool, holds_out: bool) -> Weight:
        found, years = self.balance, self.balance.days / _YEAR_DAYS
        water, choice = self.water(at), self.choices[at]
        worth = self.price.worth(choice)
        return Weight(
            choice,
            float(found.supplied_share[at]),
            float(found.met_share[at]),
            float(found.sums.cut_days[at]) / years,
            int(found.sums.longest_short_days[:, at].max(initial=0)),
            water.loads,
            water.worst_loads,
            meets,
            holds_out,
            worth.first,
            worth.life + self.price.bought(water.loads, water.make_up_l),
        )

    def water(self, at: int) -> YearlyWater:
        """The mean year of a choice in a bill's words."""
        found, years = self.balance, self.balance.days / _YEAR_DAYS
        supplied = float(found.sums.supplied_l[:, at].sum())
        bought = float(found.hauled_l[at] + found.mains_l[at])
        make_up = float(found.sums.make_up_l[:, at].sum() + found.mains_l[at])
        return YearlyWater(
            wanted_l=float(found.wanted_l[:, at].sum()) / years,
            used_l=max(supplied - bought, 0.0) / years,
            make_up_l=make_up / years,
            loads=float(found.sums.loads[:, at].sum()) / years,
            worst_loads=int(found.sums.worst_year_loads[:, at].sum()),
            load_l=max((one.load_l for one in self.site.hauling), default=None),
        )

    def in_full(self, at: int, weight: Weight) -> Weight:
        """A choice with every part taken off and priced."""
        found = full_price(
            self.site,
            weight.choice,
            tank=self.tank,
            book=self.book,
            energy=self.energy,
            water=self.water(at),
        )
        return replace(weight, first=found.priced.first, life=found.life.present, full=True)


def _weighed(drawn: Design, scale: _Scale, *, most_full: int) -> Weighed:
    weights = scale.weights()
    by_days = _redrawn(scale, weights, good=lambda one: one.days_met_share, most=most_full)
    hauled = bool(scale.site.hauling)
    by_loads = _redrawn(scale, weights, good=_few_loads, most=most_full) if hauled else ()
    weights[0] = scale.in_full(0, weights[0])
    meeting = _cheapest(scale, weights)
    return Weighed(
        design=drawn,
        tank=scale.tank,
        tried=len(weights),
        present=weights[0],
        by_days=tuple(weights[at] for at in by_days),
        by_loads=tuple(weights[at] for at in by_loads),
        cheapest=None if meeting is None else weights[meeting],
        nearest=weights[_nearest(weights)],
        step=best_step(scale.site, weights),
        limits=tuple(_limits(scale)),
    )


def _few_loads(weight: Weight) -> float:
    """Few loads count only where no dry spell is longer than the goals allow."""
    return -float(weight.worst_year_loads) if weight.holds_out else -np.inf


def front(cost: FloatArray, good: FloatArray) -> tuple[int, ...]:
    """Choices that no other beats: cheaper and at least as good, or as cheap and better.

    cost, good : of each choice; of equal ones the first stands. Returned by rising cost.
    """
    order = np.lexsort((np.arange(cost.size), -good, cost))
    best = np.maximum.accumulate(np.concatenate(([-np.inf], good[order])))
    return tuple(int(at) for at in order[good[order] > best[:-1]])


def _redrawn(
    scale: _Scale, weights: list[Weight], *, good: Callable[[Weight], float], most: int
) -> tuple[int, ...]:
    """The front, its choices priced in full, drawn again until no full price moves it."""
    goods = np.array([good(one) for one in weights])
    for _ in range(_ROUNDS):
        found = _thinned(front(_costs(weights), goods), most)
        rough = [at for at in found if not weights[at].full]
        if not rough:
            break
        for at in rough:
            weights[at] = scale.in_full(at, weights[at])
    return tuple(at for at in found if weights[at].full)


def _costs(weights: list[Weight]) -> FloatArray:
    return np.array([one.life.typical for one in weights])


def _thinned(found: tuple[int, ...], most: int) -> tuple[int, ...]:
    """At most so many of a front, its ends among them."""
    if len(found) <= most:
        return found
    kept: NDArray[np.int64] = np.unique(np.linspace(0, len(found) - 1, most).round().astype(int))
    return tuple(found[at] for at in kept)


def _cheapest(scale: _Scale, weights: list[Weight]) -> int | None:
    """The cheapest choice that meets every goal, once its price is a full one."""
    meeting = [at for at, one in enumerate(weights) if one.meets_goals]
    if not meeting:
        return None
    for _ in range(MOST_FULL):
        at = min(meeting, key=lambda one: (weights[one].life.typical, one))
        if weights[at].full:
            break
        weights[at] = scale.in_full(at, weights[at])
    return at


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


def best_step(site: Site, weights: list[Weight]) -> Step | None:
    """The single purchase that gains most for its price, from the first of the weights.

    Gains are short days a mean year fewer; where no purchase gains a day, loads a mean year fewer.
    Its price is what the changed site costs to have beyond the present one: a larger tank stands in
    place of the present one, more equal tanks stand beside it. A change that costs nothing, such as
    a smaller garden, is no purchase.
    """
    present = weights[0]
    steps = [step for one in weights[1:] if (step := _step(site, present, one=one)) is not None]
    for gains in ([one.days_year for one in steps], [one.loads_year for one in steps]):
        gaining = [
            (gain / step.price, -step.price, at)
            for at, (gain, step) in enumerate(zip(gains, steps, strict=True))
            if gain > 1e-9
        ]
        if gaining:
            return steps[max(gaining)[2]]
    return None


def _step(site: Site, present: Weight, *, one: Weight) -> Step | None:
    changed = [
        what
        for what, names in _THINGS.items()
        if any(getattr(one.choice, name) != getattr(present.choice, name) for name in names)
    ]
    price = one.first.typical - present.first.typical
    if one.choice.each_l != present.choice.each_l and _tank_there(site):
        price = one.first.typical
    if len(changed) != 1 or price <= 0.0:
        return None
    return Step(
        one,
        changed[0],
        price,
        present.cut_days_year - one.cut_days_year,
        present.loads_year - one.loads_year,
    )


_THINGS = {
    "tank": ("count", "each_l"),
    "roof": ("roof_m2",),
    "fixtures": ("fixtures",),
    "garden": ("garden",),
    "rations": ("rations",),
}


def _tank_there(site: Site) -> bool:
    return any(name == "tank" or name.startswith("tank ") for name in site.money.have)


def _limits(scale: _Scale) -> Iterable[str]:
    asked = scale.site.weighing
    yield "prices of the front in full, of the other choices as a sum of their changes"
    yield "a tank of another size is as high as the present one, and wider or narrower"
    if not asked.each_l:
        yield "sizes as commonly sold"
    if asked.roofs_m2:
        yield "roof grown or cut in proportion, gutters and downspouts with it"
    if asked.fixtures and not household_only(scale.site):
        yield "no use here is a household: better fixtures change nothing"
    if asked.gardens and not garden_only(scale.site):
        yield "no use here is plants alone: a smaller garden changes nothing"
    yield "water, pumps and checks of a choice: build it into a site file and design it"
