"""Every check on a finished design, one file per reach of the water, from sky to tap."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from eavewell.design import Design
from eavewell.findings.barriers import barriers_hold
from eavewell.findings.base import bases_bear
from eavewell.findings.conveyance import pipes_carry
from eavewell.findings.daily_step import daily_step_fits
from eavewell.findings.eave import eaves_hold
from eavewell.findings.fitness import roofs_fit, uses_fit
from eavewell.findings.ground import ground_kept
from eavewell.findings.household import uses_served
from eavewell.findings.money import money_told
from eavewell.findings.outlet import outlets_run
from eavewell.findings.papers import papers_ready
from eavewell.findings.proportion import roof_and_tank_fit, wants_believed
from eavewell.findings.service import service_holds
from eavewell.findings.sky import rain_trusted
from eavewell.findings.store import store_sized
from eavewell.findings.storm import storm_known
from eavewell.findings.sump import sump_lifts
from eavewell.findings.tank import tanks_connect
from eavewell.findings.water_tests import tests_read
from eavewell.findings.within_day import within_day_trusted
from eavewell.site.finding import Finding

_LEVELS = ("stop", "fix", "watch", "note")


def find(design: Design) -> tuple[Finding, ...]:
    """Every finding of a design, reach by reach in the order of flow, the gravest of each first."""
    return tuple(
        replace(finding, reach=reach)
        for reach, found in _by_reach(design)
        for finding in _gravest_first(found)
    )


def _by_reach(design: Design) -> Iterator[tuple[str, Iterable[Finding]]]:
    site = design.site
    snow = design.weather.days.snow_melt_mm is not None
    yield (
        "sky",
        (
            *rain_trusted(design),
            *storm_known(site, design.storms),
            *within_day_trusted(site, design.within),
        ),
    )
    yield (
        "roof",
        (*eaves_hold(site, design.eaves, snow=snow), *roofs_fit(site, design.fitness)),
    )
    yield "pipe", pipes_carry(site, design.pipes)
    moved = design.moved
    yield (
        "sump",
        sump_lifts(site, design.lifted, captured=moved.captured, sizes=dict(moved.sizes)),
    )
    fitted = tanks_connect(site, design.connected)
    coarse = daily_step_fits(site, design.coarse)
    yield "tank", (*store_sized(design), *roof_and_tank_fit(design), *fitted, *coarse)
    yield "base", bases_bear(site, design.carried)
    yield "line", (*outlets_run(site, design.gravity), *service_holds(site, design.served))
    yield "barriers", barriers_hold(site, design.treated)
    yield (
        "house and yard",
        (
            *uses_served(design),
            *wants_believed(design),
            *uses_fit(site, design.fitness),
            *tests_read(site, design.fitness, tested=design.tested, treated=design.treated),
        ),
    )
    yield "ground", ground_kept(site, design.stormwater)
    yield "money", money_told(site, design.reckoned)
    yield "papers", papers_ready(site, design.judged)


def _gravest_first(found: Iterable[Finding]) -> list[Finding]:
    return sorted(dict.fromkeys(found), key=lambda finding: _LEVELS.index(finding.level))
