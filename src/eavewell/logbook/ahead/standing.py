"""Where the look ahead begins: levels that somebody types, or the last ones of the log."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from eavewell.faults import BadLog, BadQuantity, Fault
from eavewell.logbook.ahead.basis import Standing
from eavewell.logbook.ahead.supply import read_supplies
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.latest import Latest
from eavewell.logbook.reconciled.groups import only
from eavewell.logbook.today import dry_days, last_week, metered, use_by_level_l_day
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.stick import held_l
from eavewell.tables import table
from eavewell.units import read

# a tenth of what may be lies so many standard errors below the middle
TENTH, TENTH_IN_SD = 0.1, 1.2815515655


def typed_standing(
    site: Site,
    levels: Mapping[str, str],
    *,
    day: date,
    read_on: date | None = None,
    week_l_day: Mapping[str, float] | None = None,
) -> Standing:
    """Levels as somebody says them: a depth on the stick, a volume in the tank or a share of it.

    levels : by the tank's name; "" names the only tank. A volume counts from the floor, a share
             from the outlet to the overflow.

    Raises BadLog with every fault at once.
    """
    named, faults = _named(site, levels)
    held, sd = np.zeros(len(site.tanks)), np.zeros(len(site.tanks))
    for n, tank in enumerate(site.tanks):
        if tank.name in named:
            try:
                held[n], sd[n] = _held(tank, named[tank.name])
            except (BadLog, BadQuantity) as fault:
                faults += [replace(one, where=_where(tank)) for one in fault.faults]
        elif not tank.is_sump:
            faults.append(Fault("its level is not said, such as '41 in' or '60 %'.", _where(tank)))
    if faults:
        raise BadLog(faults)
    return Standing(day, read_on or day, held, sd, week_l_day or {})


def _where(tank: Tank) -> str:
    return f"tank {tank.name!r}"


def _named(site: Site, levels: Mapping[str, str]) -> tuple[dict[str, str], list[Fault]]:
    real = [tank.name for tank in site.tanks if not tank.is_sump]
    faults = [
        Fault(f"There is no tank {name!r} with a level to say: {', '.join(real)}.")
        for name in levels
        if name not in real and not (name == "" and len(real) == 1)
    ]
    return {name or real[0]: said for name, said in levels.items()}, faults


def _held(tank: Tank, said: str) -> tuple[float, float]:
    """Water above the dead storage and its standard error."""
    depth_m, faults = _read(said, "length")
    if depth_m is not None:
        return _by_depth(tank, depth_m)
    rough_l = table("ahead")["other noise"].value * tank.usable_l
    volume_l, _ = _read(said, "volume")
    if volume_l is not None:
        return _not_over(tank, volume_l - tank.dead_storage_l, said=said), rough_l
    share, _ = _read(said, "share")
    if share is not None:
        return share * tank.usable_l, rough_l
    raise BadLog(faults)


def _read(said: str, quantity: str) -> tuple[float | None, tuple[Fault, ...]]:
    try:
        return read(said, quantity), ()
    except BadQuantity as fault:
        return None, fault.faults


def _by_depth(tank: Tank, depth_m: float) -> tuple[float, float]:
    if tank.shape is None:
        raise BadLog('its shape is not known: say how much is in it, such as "60 %" or "900 gal".')
    if depth_m > tank.shape.height_m + 1e-9:
        raise BadLog("the level stands above the rim.")
    noise_m = table("ahead")["stick noise"].value
    low, high = (held_l(tank, depth_m + side * noise_m) for side in (-1.0, 1.0))
    return held_l(tank, depth_m), (high - low) / 2.0


def _not_over(tank: Tank, held: float, *, said: str) -> float:
    if held > tank.rim_l - tank.dead_storage_l + 1e-6:
        raise BadLog(f"{said} is more than it holds to the rim.")
    return held


def logged_standing(site: Site, log: DailyLog, *, latest: Sequence[Latest], day: date) -> Standing:
    """The last level of every tank in the log, and what was used in the week before it.

    The run begins where the oldest of them was read. A tank that was never read may hold anything.
    Raises BadLog with every tank where of no supply any was read.
    """
    by_name = {one.tank: one for one in latest}
    unread = [one for one in site.tanks if not one.is_sump and one.name not in by_name]
    if not read_supplies(site, frozenset(one.name for one in unread)):
        raise BadLog([Fault("its level was never read: type it.", _where(one)) for one in unread])
    levels = [_logged(tank, by_name.get(tank.name)) for tank in site.tanks]
    held, sd = (np.array(column) for column in zip(*levels, strict=True))
    return Standing(
        day,
        min(day, *(one.stood_on for one in latest)),
        held,
        sd,
        _week_l_day(site, only(log, tuple(by_name))),
        frozenset(one.name for one in unread),
    )


def _logged(tank: Tank, last: Latest | None) -> tuple[float, float]:
    """Water above the dead storage and its standard error; unread, both tenths are the tank's."""
    if last is not None:
        return last.held_l, last.sd_l
    if tank.is_sump:
        return 0.0, 0.0
    return tank.usable_l / 2.0, (0.5 - TENTH) * tank.usable_l / TENTH_IN_SD


def logged_rain_mm(log: DailyLog, since: date, *, before: date) -> dict[date, float]:
    """Rain by the site's own gauge from one day to another, where it told anything."""
    inside = (log.dates >= np.datetime64(since)) & (log.dates < np.datetime64(before))
    rows = np.flatnonzero(inside & np.isfinite(log.rain_mm))
    return {
        date.fromisoformat(str(log.dates[n].astype("datetime64[D]"))): float(log.rain_mm[n])
        for n in rows
    }


def _week_l_day(site: Site, log: DailyLog) -> dict[str, float]:
    """By use where each meter counts one; else all together, by meters or by the level."""
    week = last_week(log)
    counted = metered(log, week)
    gauges: dict[str, Gauge] = {gauge.name: gauge for gauge in site.log.gauges}
    if not counted:
        fall = use_by_level_l_day(log, dry_days(log, week))
        return {} if fall is None else {"": fall}
    uses = [gauges[one.meter].uses if one.meter in gauges else () for one in counted]
    if all(len(of) == 1 for of in uses):
        found: dict[str, float] = {}
        for one, of in zip(counted, uses, strict=True):
            found[of[0]] = found.get(of[0], 0.0) + one.l_day
        return found
    return {"": sum(one.l_day for one in counted)}
