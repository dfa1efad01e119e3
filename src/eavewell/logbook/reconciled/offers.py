"""What the log found, offered as changes of the site file, each with its reason."""

from collections.abc import Iterator

from eavewell.catchment.runoff import runoff_share
from eavewell.logbook.reconciled.account import Account
from eavewell.logbook.reconciled.estimate import Estimate
from eavewell.logbook.reconciled.fit import CATCH, FLUSH
from eavewell.logbook.reconciled.used import UseFound
from eavewell.site.finding import COMMON, Finding
from eavewell.site.place import Show
from eavewell.site.rain_record import DayArray
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.units import show

MOST_SHED = 1.0


def offers(
    site: Site,
    account: Account,
    *,
    found: dict[int, Estimate],
    used: tuple[UseFound, ...],
    log_days: DayArray,
) -> tuple[Finding, ...]:
    """Every change that the log speaks for; a finding without changes where it cannot be made."""
    system = site.place.show
    since = f"{log_days[0]} to {log_days[-1]}"
    made: list[Finding] = []
    for roof in account.roofs:
        if CATCH in found:
            made += _sheds(roof, found[CATCH], since=since, system=system)
        if FLUSH in found and roof.first_flush is not None:
            made += _flush(roof, found[FLUSH], since=since, system=system)
    for one in used:
        made += _use(one, since=since, system=system)
    return tuple(made)


def _sheds(roof: Roof, catch: Estimate, *, since: str, system: Show) -> Iterator[Finding]:
    usual = runoff_share(roof)
    low, share, high = (one * usual.value for one in (catch.low, catch.value, catch.high))
    shown = [show(one, "share", system=system) for one in (low, share, high)]
    if low > MOST_SHED:
        yield Finding(
            "log-more-than-the-rain",
            "fix",
            f"roof '{roof.name}'",
            f"The tanks gained more than all the rain that fell on it ({since}): its plan area is "
            f"larger than the file says, the rain gauge catches too little, or water came that the "
            f"log does not tell.",
            measured=share,
            limit=MOST_SHED,
            unit="share",
            source="computed from the log",
            fix="measure the roof's plan and set the gauge away from trees and walls",
            reach="roof",
        )
        return
    if _as_said(catch) and roof.sheds is not None:
        return
    low, share, high = (min(one, MOST_SHED) for one in (low, share, high))
    shown = [show(one, "share", system=system) for one in (low, share, high)]
    yield Finding(
        "log-roof-sheds",
        "note",
        f"roof '{roof.name}'",
        f"By the log of {since} it sheds {shown[1]} of the rain once it is wet ({shown[0]} to "
        f"{shown[2]}, from {catch.days} days of rain); the file goes by "
        f"{show(usual.value, 'share', system=system)}. All roofs of the tanks are taken to differ "
        f"from the file alike.",
        measured=share,
        limit=usual.value,
        unit="share",
        source="computed from the log",
        fix=f"let it shed {shown[1]}",
        reach="roof",
        changes=(
            (("roof", roof.name, "sheds"), shown[1]),
            (("roof", roof.name, "sheds_low"), shown[0]),
            (("roof", roof.name, "sheds_high"), shown[2]),
        ),
    )


def _as_said(one: Estimate) -> bool:
    """Whether the file's own figure is close, or lies within the range."""
    close = abs(one.value - 1.0) <= table("reconcile")["worth changing"].value
    return close or one.low <= 1.0 <= one.high


def _is_wide(one: Estimate) -> bool:
    return one.half > table("reconcile")["widest range"].value * max(one.value, 1e-9)


def _flush(roof: Roof, flush: Estimate, *, since: str, system: Show) -> Iterator[Finding]:
    led = roof.first_flush
    assert led is not None
    by_volume = led.volume_l is not None
    stated, quantity = (led.volume_l, "volume") if by_volume else (led.depth_mm, "depth")
    if not stated or _as_said(flush) or _is_wide(flush):
        return
    shown = [
        show(one * stated, quantity, system=system) for one in (flush.low, flush.value, flush.high)
    ]
    yield Finding(
        "log-first-flush",
        "note",
        f"first flush of roof '{roof.name}'",
        f"By the log of {since} each rain loses {shown[1]} ({shown[0]} to {shown[2]}, from "
        f"{flush.days} days of rain) where the file says "
        f"{show(stated, quantity, system=system)}: a drain that leaks or is shut, or a standpipe "
        f"of another size.",
        measured=flush.value * stated,
        limit=stated,
        unit="L" if by_volume else "mm",
        source="computed from the log",
        fix=f"look at its drain; if it is as it should be, let it take {shown[1]}",
        reach="roof",
        changes=((("roof", roof.name, "first_flush", quantity), shown[1]),),
    )


def _use(one: UseFound, *, since: str, system: Show) -> Iterator[Finding]:
    if not one.expected_l_day or one.measured.low <= one.expected_l_day <= one.measured.high:
        return
    if abs(one.share - 1.0) <= table("reconcile")["worth changing"].value:
        return
    measured, expected = (
        show(value, "daily", system=system) for value in (one.measured.value, one.expected_l_day)
    )
    names = ", ".join(f"'{name}'" for name in one.uses)
    per, changes, fix = _per_person(one, system=system)
    yield Finding(
        "log-use",
        "watch" if one.share > 1.0 else "note",
        f"use {names}",
        f"Meter '{one.meter}' counted {measured} in the mean of {one.measured.days} days "
        f"({since}) on which nothing was cut; the file expects {expected}.{per}",
        measured=one.measured.value,
        limit=one.expected_l_day,
        unit="L/day",
        source=COMMON,
        fix=fix,
        reach="house and yard",
        changes=changes,
    )


def _per_person(
    one: UseFound, *, system: Show
) -> tuple[str, tuple[tuple[tuple[str, ...], str], ...], str]:
    """What it comes to per person, with the change that says so."""
    if one.each is None or _is_wide(one.each):
        return "", (), "describe its wants as they are"
    low, value, high = (
        show(each, "daily", system=system) for each in (one.each.low, one.each.value, one.each.high)
    )
    says = f" That is {value} for each person ({low} to {high})."
    changes = ((("use", one.uses[0], "each"), value),)
    return says, changes, f"reckon with {value} for each person"
