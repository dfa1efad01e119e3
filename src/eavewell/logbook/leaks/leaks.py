"""Leaks and stuck floats: every test that the log allows, as findings with their limits."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from eavewell.design import Design
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.kept import Kept
from eavewell.logbook.leaks.drift import Drift, drifts_of
from eavewell.logbook.leaks.leak_findings import (
    drift_findings,
    group_findings,
    make_up_findings,
    night_findings,
    plans_of,
)
from eavewell.logbook.leaks.leak_test import LeakTest, Watched, at_midnight, season_test, watch
from eavewell.logbook.leaks.night import NightFlow, NightStarts, night_flow, night_starts
from eavewell.logbook.leaks.shut_test import ShutPlan
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.reconciled.account import (
    Account,
    Expected,
    TooLittleLogged,
    account_of,
    expected_of,
)
from eavewell.logbook.reconciled.groups import groups_of, only
from eavewell.site.finding import Finding
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import DayArray
from eavewell.site.site import Site


@dataclass(frozen=True, slots=True, eq=False)
class Leaks:
    """What the tests found at the end of a log.

    dates, tanks : of the log. plans : what the overnight test of each tank can show.
    tests  : of each group of tanks between which water moves, every stretch.
    alarms : how often the dry-day test called a leak anew since the log began.
    refused : what could not be tested, in sentences.
    """

    dates: DayArray
    tanks: tuple[str, ...]
    tests: tuple[LeakTest, ...]
    drifts: tuple[Drift, ...]
    plans: tuple[ShutPlan, ...]
    nights: tuple[NightFlow, ...]
    starts: tuple[NightStarts, ...]
    alarms: int
    findings: tuple[Finding, ...]
    refused: tuple[str, ...]


def leak_test(site: Site, design: Design, *, log: DailyLog, kept: Kept | None = None) -> Leaks:
    """Test a log for leaks as it stands on its last day.

    kept : the store of the readings themselves, for what runs by night; None leaves that out.
    """
    return leak_test_on(site, log, expected=expected_of(design), kept=kept)


def leak_test_on(
    site: Site, log: DailyLog, *, expected: Expected, kept: Kept | None = None
) -> Leaks:
    """The same with what is expected already at hand."""
    nights, starts = _by_night(site, kept)
    groups = tuple(
        _Group.of(site, log, names=names, expected=expected) for names in groups_of(site, log)
    )
    told = tuple(one for one in groups if isinstance(one, _Group))
    findings = [
        *(found for one in told for found in one.findings(site)),
        *night_findings(site, nights, starts=starts),
        *make_up_findings(site, log),
    ]
    return Leaks(
        dates=log.dates,
        tanks=tuple(name for one in told for name in one.account.tanks),
        plans=tuple(plan for one in told for plan in plans_of(site, one.account)),
        tests=tuple(test for one in told for test in one.tests),
        drifts=tuple(drift for one in told for drift in one.drifts),
        nights=nights,
        starts=starts,
        alarms=sum(one.watched.alarms for one in told),
        findings=tuple(findings),
        refused=tuple(one for one in groups if isinstance(one, str)),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Group:
    """Tanks between which water moves, tested together."""

    account: Account
    watched: Watched
    tests: tuple[LeakTest, ...]
    drifts: tuple[Drift, ...]

    @classmethod
    def of(
        cls, site: Site, log: DailyLog, *, names: tuple[str, ...], expected: Expected
    ) -> "_Group | str":
        """The tests of a group, a gauge's drift taken off; a sentence where it has no levels."""
        part = only(log, names)
        try:
            account = account_of(site, part, expected=expected)
        except TooLittleLogged as little:
            return str(little)
        drifts = drifts_of(site, part, account=account)
        account = account.without_drift(sum(one.l_day for one in drifts if one.drifts))
        watched = watch(account)
        season = season_test(account)
        tests = at_midnight(account, watched, row=account.days - 1)
        tests += () if season is None else (season,)
        return cls(account, watched, tests, drifts)

    def findings(self, site: Site) -> Iterator[Finding]:
        """What the tests say of the group."""
        yield from drift_findings(site, self.drifts)
        yield from group_findings(site, self.account, watched=self.watched, tests=self.tests)


def _by_night(
    site: Site, kept: Kept | None
) -> tuple[tuple[NightFlow, ...], tuple[NightStarts, ...]]:
    if kept is None:
        return (), ()
    zone = site.log.zone
    flows = (
        night_flow(one.name, kept.readings(one.name), zone=zone)
        for one in gauges_of(site)
        if one.measures == "meter"
    )
    starts = (
        night_starts(one.name, kept.readings(one.name), zone=zone, middle_m=middle)
        for one in gauges_of(site)
        if one.measures == "pressure" and (middle := _middle_m(site, one)) is not None
    )
    return tuple(filter(None, flows)), tuple(filter(None, starts))


def _middle_m(site: Site, gauge: Gauge) -> float | None:
    """Half way between the two pressures of the switch on the gauge's line; None unknown."""
    for line in site.lines:
        named = line.name == gauge.of or (not gauge.of and len(site.lines) == 1)
        if named and line.cut_in_m is not None and line.cut_out_m is not None:
            return float(np.mean([line.cut_in_m, line.cut_out_m]))
    return None
