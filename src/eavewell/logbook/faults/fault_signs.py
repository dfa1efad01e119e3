"""What a log shows that bears on a fault: outages, overdue care, levels, losses, rain, use."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, timedelta

import numpy as np

from eavewell.answers.shown import Sizes, count, listed
from eavewell.answers.shown import day as in_words
from eavewell.logbook.faults.faults_found import Sign
from eavewell.logbook.readings.counted import Said
from eavewell.logbook.readings.gauged import held_l, levels
from eavewell.logbook.upkeep.outages import POWER
from eavewell.logbook.upkeep.serviced import Due, Serviced
from eavewell.site.finding import Finding
from eavewell.site.line import InLine, Line
from eavewell.site.tank import Tank
from eavewell.tables import table
from eavewell.treatment.order import uses_of
from eavewell.units import show


def signs_of(
    read: Serviced, due: tuple[Due, ...], *, planned_l_day: Mapping[str, float] | None = None
) -> tuple[Sign, ...]:
    """Every sign of tables/fault_signs.csv that a log shows on its day.

    due : its due list. planned_l_day : use -> what it wants on a mean day by the design.
    """
    return (
        *_outages(read),
        *_care(read, due),
        *_levels(read),
        *_losses(read),
        *_rain(read),
        *_use(read, planned_l_day or {}),
        *_water(read),
    )


def signs_in(findings: Iterable[Finding]) -> tuple[Sign, ...]:
    """What the leak tests found, as signs; each is called by its code."""
    return tuple(
        Sign(f"finding {one.code}", f"{one.where}: {one.says}".rstrip(".")) for one in findings
    )


def figure(name: str) -> float:
    """A figure of tables/fault_figures.csv."""
    return table("fault_figures")[name].value


def _since(read: Serviced, name: str) -> date:
    return read.today - timedelta(days=figure(name))


def _outages(read: Serviced) -> Iterator[Sign]:
    for one in read.noted.outages:
        if one.ended is None and one.began <= read.now:
            kind = "power is out" if one.of == POWER else "lamp is out"
            began = in_words(read.noted.day(one.began).isoformat())
            yield Sign(kind, f"by the log {one.of} has been out since {began}")


def _care(read: Serviced, found: tuple[Due, ...]) -> Iterator[Sign]:
    """Tasks over their day, and those that were done lately."""
    for one in found:
        things = f" ({listed(one.things)})" if one.things else ""
        if one.kind == "outage":
            yield Sign("lamp was out", one.why.rstrip("."))
        elif one.overdue_days:
            says = f"{one.task}{things}: {count(one.overdue_days, 'day')} over its day"
            yield Sign(f"overdue {one.task}", says)
            if one.task == "change the lamp":
                yield Sign("lamp is old", says)
        if one.last_done and one.last_done >= _since(read, "lately"):
            says = f"{one.task}{things}: done on {in_words(one.last_done.isoformat())}"
            yield Sign(f"lately {one.task}", says)


def _levels(read: Serviced) -> Iterator[Sign]:
    site = read.care.site
    for tank in site.tanks:
        at = _level_m(read, tank)
        if at is None:
            continue
        stood = show(at.value, "length", system=site.place.show)
        said = f"{tank.name} stood at {stood} on {in_words(at.day.isoformat())}"
        for line in site.lines:
            if line.source == tank.name and line.dry_run_m:
                under = at.value <= line.dry_run_m
                yield Sign(f"level {'under' if under else 'over'} the cut-off", said)
        share = _share(read, tank)
        if share is not None and share <= figure("low level"):
            yield Sign("level is low", said)


def _level_m(read: Serviced, tank: Tank) -> Said | None:
    """The last level of a tank above its floor; None where it is not of late."""
    gauge, said = read.counted.newest("level", tank.name), read.counted.last("level", tank.name)
    if gauge is None or said is None or said.day < _since(read, "lately"):
        return None
    return Said(float(levels(gauge, np.array([said.value])).level_m[0]), said.day)


def _share(read: Serviced, tank: Tank) -> float | None:
    gauge, said = read.counted.newest("level", tank.name), read.counted.last("level", tank.name)
    if gauge is None or said is None or tank.shape is None or not tank.usable_l:
        return None
    return float(held_l(tank, gauge, said=np.array([said.value]))[0]) / tank.usable_l


def _losses(read: Serviced) -> Iterator[Sign]:
    """Pressure that a cartridge takes, against what it takes clean and full."""
    for line in read.care.site.lines:
        for thing in line.in_line:
            said = read.counted.last("filter loss", thing.name)
            if said is not None and thing.dirty_m > thing.clean_m:
                yield from _loss(read, thing, lost_m=said.value, day=said.day)


def _loss(read: Serviced, thing: InLine, *, lost_m: float, day: date) -> Iterator[Sign]:
    lost = show(lost_m, "pressure", system=read.care.site.place.show)
    says = f"{thing.name} took {lost} on {in_words(day.isoformat())}"
    if lost_m >= thing.dirty_m:
        yield Sign("cartridge is full", says)
    elif lost_m <= (thing.clean_m + thing.dirty_m) / 2.0:
        yield Sign("cartridge is clear", says)


def _rain(read: Serviced) -> Iterator[Sign]:
    """Rain of the last days, where the gauge was read in them."""
    since = _since(read, "rain of days")
    fell = [mm for day, mm in read.counted.rain_mm().items() if since < day <= read.today]
    if not fell:
        return
    depth = Sizes(read.care.site.place.show).depth(sum(fell))
    says = f"{depth} of rain by the site's gauge in the last {count(figure('rain of days'), 'day')}"
    if sum(fell) <= figure("little rain"):
        yield Sign("little rain fell", says)
    elif sum(fell) >= figure("much rain"):
        yield Sign("much rain fell", says)


def _use(read: Serviced, planned_l_day: Mapping[str, float]) -> Iterator[Sign]:
    """What a line's meter counted lately against what its uses were planned for."""
    since = read.now - timedelta(days=figure("lately"))
    for line in read.care.site.lines:
        counter = read.counted.water_of(line)
        used = counter.a_day(since) if counter is not None and _is_new(read, counter.last) else None
        plan = sum(planned_l_day.get(use.name, 0.0) for use in uses_of(read.care.site, line))
        if used is not None and plan:
            yield _compared(read, line, used=used, plan=plan)


def _is_new(read: Serviced, last: datetime | None) -> bool:
    return last is not None and read.noted.day(last) >= _since(read, "lately")


def _compared(read: Serviced, line: Line, *, used: float, plan: float) -> Sign:
    sizes = Sizes(read.care.site.place.show)
    says = (
        f"the meter of {line.name} counted {sizes.daily(used)} lately, {sizes.daily(plan)} "
        "was planned"
    )
    over = used > plan * figure("more than planned")
    return Sign(f"{'more' if over else 'no more'} is used than planned", says)


def _water(read: Serviced) -> Iterator[Sign]:
    for load in read.noted.loads:
        if load.came and _since(read, "lately") <= read.noted.day(load.came) <= read.today:
            came = in_words(read.noted.day(load.came).isoformat())
            yield Sign("a load came lately", f"a load came into {load.to} on {came}")
    for one in read.results.held_back:
        if one.plan.kind == "germs" and one.result.latest:
            found = in_words(one.result.latest.day.isoformat())
            yield Sign("a test found germs", f"{one.plan.of}: {one.result.state}, {found}")
