"""What the leak tests found, in words, with the limit of each."""

from collections.abc import Iterator

import numpy as np

from eavewell.answers.shown import day
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.leaks.drift import Drift
from eavewell.logbook.leaks.leak_test import LeakTest, Watched
from eavewell.logbook.leaks.leak_words import (
    CANNOT_TELL,
    DRIFT_LIKE,
    ISOLATE_ONE,
    JUDGED,
    NO_VALVE,
    SELDOM,
    drawn_by_file,
    isolate,
    no_leak,
    overnight,
    too_few,
)
from eavewell.logbook.leaks.night import NightFlow, NightStarts
from eavewell.logbook.leaks.shut_test import ShutPlan, l_per_m, shut_plan
from eavewell.logbook.readings.gauged import noise_m
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.reconciled.account import Account
from eavewell.site.finding import COMMON, Finding
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.arrangement import MAINS
from eavewell.storage.stick import level_m
from eavewell.tables import table
from eavewell.units import show

TANK, LINE = "tank", "line"
STILL_L_DAY = 1.0


def group_findings(
    site: Site, account: Account, *, watched: Watched, tests: tuple[LeakTest, ...]
) -> Iterator[Finding]:
    """A leak, a leak or a use, water from nowhere, or nothing seen with the limit of the test."""
    falls = [one for one in tests if one.leaks]
    rises = [one for one in tests if one.gains]
    if falls:
        yield _falls(site, account, watched=watched, test=max(falls, key=_plainness))
    elif rises:
        yield _gains(site, account, test=min(rises, key=lambda one: one.fall_l_day))
    elif tests:
        yield _none(site, account, test=min(tests, key=lambda one: one.limit_l_day))
    else:
        yield _too_few(account, watched)


def _days(test: LeakTest) -> str:
    return f"{test.dry_days} days" if test.stretch == "season" else f"{test.dry_days} dry days"


def _plainness(test: LeakTest) -> float:
    return test.fall_l_day / test.limit_l_day


def _where(tanks: tuple[str, ...]) -> str:
    names = ", ".join(f"'{name}'" for name in tanks)
    return f"tank {names}" if len(tanks) == 1 else f"tanks {names}"


def _falls(site: Site, account: Account, *, watched: Watched, test: LeakTest) -> Finding:
    system = site.place.show
    fall, low, high = (
        show(one, "daily", system=system)
        for one in (test.fall_l_day, max(test.low_l_day, 0.0), test.high_l_day)
    )
    says = (
        f"Over {_days(test)} ({_when(test)}) the level fell by {fall} "
        f"({low} to {high}) more than {_drawn(site, account, test=test)}."
    )
    if test.metered and test.used_l_day <= STILL_L_DAY:
        says += " The meters stood still all that time."
    hint = DRIFT_LIKE if test.metered else _cannot_tell(account)
    return Finding(
        "leak" if test.metered else "leak-or-use",
        "fix" if test.metered else "watch",
        _where(test.tanks),
        f"{says} {hint}",
        measured=test.fall_l_day,
        limit=test.limit_l_day,
        unit="L/day",
        source=COMMON,
        fix=_procedure(site, account),
        reach=TANK,
    )


def _when(test: LeakTest) -> str:
    return f"{day(test.since.isoformat())} to {day(test.until.isoformat())}"


def _drawn(site: Site, account: Account, *, test: LeakTest) -> str:
    """What was taken as drawn, and by what it is known."""
    used = show(test.used_l_day, "daily", system=site.place.show)
    if account.assumed and not test.metered:
        return drawn_by_file(used, account.assumed, metered=bool(account.counted))
    told = "the meters counted" if account.counted else "is expected"
    return f"the {used} that {told}{' in the mean' if account.seldom else ''}"


def _procedure(site: Site, account: Account) -> str:
    """The overnight test, and the isolating of each tank in turn."""
    tank = max((site.tank(name) for name in account.tanks), key=lambda one: one.usable_l)
    if tank.shape is None:
        return ISOLATE_ONE.rstrip(".")
    fall = _bore(_plan(site, tank, account=account).limit_m, site)
    several = len(account.tanks) > 1 or tank.count > 1
    ways = [shut_words(site, tank, account=account), isolate(fall) if several else ISOLATE_ONE]
    link = tank.fittings.link
    if tank.count > 1 and (link is None or not link.valves):
        ways.append(NO_VALVE)
    ways.append(JUDGED)
    return " ".join(ways).rstrip(".")


def shut_words(site: Site, tank: Tank, *, account: Account) -> str:
    """The overnight test of a tank, with what it can show at the noise of its gauge."""
    plan = _plan(site, tank, account=account)
    leak, next_day = (
        show(one, "daily", system=site.place.show)
        for one in (plan.limit_l_day, plan.limit_l_day / 2.0)
    )
    return overnight(
        _bore(_noise_m(site, tank, account=account), site),
        _bore(plan.limit_m, site),
        leak=leak,
        hours=plan.hours,
        times=plan.times,
        next_day=next_day,
    )


def _bore(length_m: float, site: Site) -> str:
    """A small length, in millimetres or inches."""
    return show(1000.0 * length_m, "bore", system=site.place.show)


def plans_of(site: Site, account: Account) -> tuple[ShutPlan, ...]:
    """What the overnight test of each tank whose shape is known can show."""
    tanks = (site.tank(name) for name in account.tanks)
    return tuple(_plan(site, tank, account=account) for tank in tanks if tank.shape is not None)


def _plan(site: Site, tank: Tank, *, account: Account) -> ShutPlan:
    noise = _noise_m(site, tank, account=account)
    return shut_plan(tank, level_m=_level_m(tank, account), noise_m=noise)


def _level_m(tank: Tank, account: Account) -> float:
    """Where its water about stands."""
    known = account.held_l[np.isfinite(account.held_l)]
    return level_m(tank, min(float(known[-1]), tank.usable_l)) or 0.0


def _noise_m(site: Site, tank: Tank, *, account: Account) -> float:
    """Of one level of a tank: by its gauge, else as the log's own error tells."""
    for gauge in gauges_of(site):
        if gauge.measures == "level" and gauge.of == tank.name:
            return noise_m(gauge)
    sd_l = float(np.nanmedian(account.held_sd_l))
    return sd_l / l_per_m(tank, _level_m(tank, account))


def _gains(site: Site, account: Account, *, test: LeakTest) -> Finding:
    """Water that came and that the log does not tell: a float that sticks, or a load."""
    system = site.place.show
    near = table("reconcile")["full within"].value
    full = bool(account.held_l[-1] >= account.capacity_l - near * account.held_sd_l[-1])
    gain = show(-test.fall_l_day, "daily", system=system)
    says = f"Over {_days(test)} ({_when(test)}) {gain} came that the log does not tell."
    if full:
        says += " It stands at its overflow: what comes spills, rain or none."
    return Finding(
        "spills-on-dry-days" if full else "gains-on-dry-days",
        "fix" if full else "watch",
        _where(test.tanks),
        says,
        measured=-test.fall_l_day,
        limit=test.limit_l_day,
        unit="L/day",
        source=COMMON,
        fix="look at the float of the make-up and of each lift, and for a load not written down",
        reach=TANK,
    )


def _cannot_tell(account: Account) -> str:
    """Why a leak is not to be told from a use: no meter, or one that is seldom read."""
    return SELDOM if account.seldom and not account.assumed else CANNOT_TELL


def _none(site: Site, account: Account, *, test: LeakTest) -> Finding:
    limit, twice = (
        show(one, "daily", system=site.place.show)
        for one in (test.limit_l_day, test.limit_at_twice_l_day)
    )
    says = no_leak(_days(test), limit, twice=twice)
    if not test.metered:
        taken = f"It counts with {_drawn(site, account, test=test)}."
        says = f"{says} {taken} {_cannot_tell(account)}"
    return Finding(
        "no-leak-seen",
        "note",
        _where(test.tanks),
        says,
        measured=max(test.fall_l_day, 0.0),
        limit=test.limit_l_day,
        unit="L/day",
        source=COMMON,
        reach=TANK,
    )


def _too_few(account: Account, watched: Watched) -> Finding:
    figures = table("leaks")
    oldest = figures["oldest"].value
    dry = int(watched.levels.dry[-int(oldest) :].sum())
    return Finding(
        "leak-not-tested",
        "note",
        _where(account.tanks),
        too_few(dry, oldest=oldest, least=figures["shortest"].value),
        reach=TANK,
    )


def drift_findings(site: Site, drifts: tuple[Drift, ...]) -> Iterator[Finding]:
    """A gauge whose full tank stands ever higher or lower."""
    for one in drifts:
        if not one.drifts:
            continue
        way = "more" if one.l_day > 0.0 else "less"
        moved, last = (
            show(abs(value), quantity, system=site.place.show)
            for value, quantity in ((one.l_day, "daily"), (one.at_full_l, "volume"))
        )
        yield Finding(
            "level-gauge-drifts",
            "fix",
            f"tank '{one.tank}'",
            f"It surely filled {one.events} times, and each time its gauge read {way} than before: "
            f"{moved}, by now {last} off. The leak test counts that out.",
            measured=abs(one.l_day),
            limit=one.high_l_day - one.l_day,
            unit="L/day",
            source=COMMON,
            fix="read the level with a stick beside the gauge, and give the gauge that known level",
            reach=TANK,
        )


def night_findings(
    site: Site, nights: tuple[NightFlow, ...], *, starts: tuple[NightStarts, ...]
) -> Iterator[Finding]:
    """Water that runs on nearly all nights, and a pump that starts by night or too often."""
    system, figures = site.place.show, table("leaks")
    for night in nights:
        if night.runs:
            flow = show(night.l_day, "daily", system=system)
            yield Finding(
                "night-flow",
                "fix",
                f"meter '{night.meter}'",
                f"It never stood still on {night.ran} of the last {night.nights} nights between "
                f"{figures['night from'].value:g} and {figures['night to'].value:g} o'clock: "
                f"{flow} at least run through it.",
                measured=night.l_day,
                limit=night.step_l_h * 24.0,
                unit="L/day",
                source=COMMON,
                fix="shut the house's valve by night; if it still runs, the leak lies before it, "
                "else listen at the toilets, the softener and the hoses",
                reach=LINE,
            )
    for start in starts:
        yield from _starts(start)


def _starts(start: NightStarts) -> Iterator[Finding]:
    night, most = table("leaks")["night starts"].value, table("pump_starts")["up to 3/4 hp"]
    if start.starts_h > night:
        yield Finding(
            "pump-starts-by-night",
            "fix",
            f"gauge '{start.gauge}'",
            f"By night, while nobody draws, the pump starts {start.starts_h:.2g} times an hour: "
            f"water leaves behind it or runs back through its check valve.",
            measured=start.starts_h,
            limit=night,
            unit="starts/h",
            source=COMMON,
            fix="shut the valve behind the pressure tank: if it still starts, the check valve or "
            "the pipe before it leaks, else the house",
            reach=LINE,
        )
    if start.most_starts_h > most.value:
        yield Finding(
            "pump-cycles",
            "fix",
            f"gauge '{start.gauge}'",
            f"In its busiest hour the pump started {start.most_starts_h:g} times.",
            measured=start.most_starts_h,
            limit=most.value,
            unit="starts/h",
            source=f"{most.source}, {most.place}",
            fix="measure the pressure tank's air with its water drained, and set it again",
            reach=LINE,
        )


def make_up_findings(site: Site, log: DailyLog) -> Iterator[Finding]:
    """Make-up that ran on days that began and ended with water enough in the tank."""
    near = table("reconcile")["full within"].value
    ran = np.nan_to_num(log.make_up_l) > STILL_L_DAY
    for name, floor_l in _topped_up(site):
        if name not in log.tanks:
            continue
        k = log.tanks.index(name)
        holds = log.held_l[:, k] - near * log.held_sd_l[:, k] > floor_l
        days = ran & holds & np.r_[holds[1:], holds[-1:]]
        if not days.any():
            continue
        floor, came = (
            show(one, "volume", system=site.place.show)
            for one in (floor_l, float(log.make_up_l[days].sum()))
        )
        yield Finding(
            "make-up-while-it-holds",
            "fix",
            f"tank '{name}'",
            f"Make-up ran on {int(days.sum())} days, the last of them {log.dates[days][-1]}, while "
            f"the tank held more than the {floor} at which it should start: {came} in all.",
            measured=float(log.make_up_l[days].sum()),
            limit=0.0,
            unit="L",
            source=COMMON,
            fix="look at its float and its valve: it sticks open, or its float hangs too high",
            reach=TANK,
        )


def _topped_up(site: Site) -> Iterator[tuple[str, float]]:
    """Each tank that mains make up for, and the water below which they may."""
    for lift in site.lifts:
        if lift.source == MAINS:
            yield lift.target, lift.target_start_share * site.tank(lift.target).usable_l
    for use in site.uses:
        if use.fallback == "mains":
            tank = site.tank(use.draws_from[0])
            kept = use.reserve.litres(tank.usable_l) if use.reserve else 0.0
            stages = (stage.below.litres(tank.usable_l) for stage in use.stages)
            yield tank.name, max(kept, *stages, 0.0)
