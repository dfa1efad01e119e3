"""What every choice is weighed on: one batch through the record, and its prices."""

from dataclasses import dataclass, replace

from eavewell.cost.separable import Pricing, Separable, worth_of
from eavewell.cost.yearly_water import YearlyWater
from eavewell.site.site import Site
from eavewell.site.weighing import Choice
from eavewell.storage.balance import Balance
from eavewell.storage.goals import all_reached
from eavewell.weigh.weights import Weight

_YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True, eq=False)
class Scale:
    """Everything a choice is weighed on."""

    site: Site
    pricing: Pricing
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
        worth = worth_of(self.site, weight.choice, pricing=self.pricing, water=self.water(at))
        return replace(weight, first=worth.first, life=worth.life, full=True)
