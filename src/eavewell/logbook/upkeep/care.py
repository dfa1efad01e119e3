"""What a standing site is looked after by: the parts of its design that service reads."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from eavewell.design import Design
from eavewell.files.authority import model_authority
from eavewell.hydraulics.service import serve
from eavewell.rules.judged import judge
from eavewell.rules.upkeep_tasks import Task, upkeep_tasks
from eavewell.site.authority import Authority
from eavewell.site.line import InLine, Line
from eavewell.site.site import Site
from eavewell.site.water import WaterTest
from eavewell.treatment.barriers import TreatedLine, barriers_in_order, cartridge_life
from eavewell.treatment.classes import Fitness, fit_for_use
from eavewell.treatment.season import SeasonStep, season_steps
from eavewell.treatment.shock import Shock, shock_after_work
from eavewell.treatment.water_tests import Tested, test_water


@dataclass(frozen=True, slots=True, eq=False)
class Care:
    """The parts of a design that due lists, tests and the fault finder read."""

    site: Site
    authority: Authority
    fitness: Fitness
    treated: tuple[TreatedLine, ...]
    season: tuple[SeasonStep, ...]
    shock: Shock

    def tested(self, tests: tuple[WaterTest, ...], *, today: date) -> Tested:
        """All planned tests against these results."""
        water = replace(self.site.water, tests=tests)
        site = replace(self.site, water=water)
        return test_water(site, self.fitness, authority=self.authority, today=today)

    def tasks(self, tested: Tested, l_day: Mapping[str, float]) -> tuple[Task, ...]:
        """Every task of the site, as its plan counts the days.

        l_day : line -> water that passes it on a mean day by its meter; a line that is left out
        takes what the plan says.
        """
        judged = judge(self.site, self.authority, today=tested.today)
        treated = tuple(_metered(one, l_day.get(one.line.name)) for one in self.treated)
        return upkeep_tasks(
            self.site, judged=judged, tested=tested, treated=treated, season=self.season
        )

    def line_of(self, thing: str) -> tuple[Line, InLine | None] | None:
        """The line of that name, or the one on which something of that name stands."""
        for line in self.site.lines:
            if line.name == thing:
                return line, None
            for one in line.in_line:
                if one.name == thing:
                    return line, one
        return None


def _metered(one: TreatedLine, l_day: float | None) -> TreatedLine:
    """A line with the lives of its cartridges by its meter."""
    if l_day is None:
        return one
    lives = tuple(cartridge_life(life.thing, l_day) for life in one.cartridges)
    return replace(one, cartridges=lives)


def care_of(made: Design) -> Care:
    """What service needs of a design."""
    return Care(
        made.site, made.judged.authority, made.fitness, made.treated, made.season, made.shock
    )


def care_without_rain(site: Site, authority: Authority | None = None) -> Care:
    """The same at once, without any rain record.

    Lives by litres are then unknown until a meter tells them, and so is what a frost asks of pipes
    that are held full.
    """
    asks = authority or model_authority()
    return Care(
        site=site,
        authority=asks,
        fitness=fit_for_use(site),
        treated=barriers_in_order(site, serve(site), authority=asks),
        season=season_steps(site, ()),
        shock=shock_after_work(site),
    )
