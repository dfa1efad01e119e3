"""What the log says of the site file's guesses: what the roof sheds, the first flush, the use.

Observed is the change of all gauged stores from one midnight to the next; expected is roof water by
the file's figures, less what was metered or is taken for granted, plus loads and make-up. The
method stands in `logbook.fit`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.design import Design
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.reconciled.account import (
    Account,
    Expected,
    TooLittleLogged,
    account_of,
    expected_of,
)
from eavewell.logbook.reconciled.estimate import Estimate
from eavewell.logbook.reconciled.fit import (
    CATCH,
    FLUSH,
    UNKNOWN,
    USE,
    Changes,
    Fitted,
    changes_of,
    fit,
    inflow_l,
)
from eavewell.logbook.reconciled.groups import groups_of, only
from eavewell.logbook.reconciled.offers import offers
from eavewell.logbook.reconciled.used import UseFound, uses_found
from eavewell.site.finding import Finding
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.site.site import Site
from eavewell.tables import table

KNOWN_BY_METER = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class Reconciled:
    """The log of some tanks against their site file; of each day, shape (day,), in L.

    observed_l, expected_l : change from the midnight that begins the day to the next; nan unknown.
    censored   : days that may have spilled or run short: they say nothing of the roof.
    catch, flush : what roofs shed and their first flush, as factors on what the file says.
    used       : by use. unmetered : all uses without a meter, as a factor on what is expected.
    unknown    : L/day that nothing accounts for in the log's last season, where all uses have a
                 meter; below 0 it came.
    changes, rainy : changes of level that were weighed, and those of them that brought water.
    set_aside  : first days of changes that nothing explains, and that were left out.
    own_rain_days : days whose rain the site's own gauge tells.
    offers     : changes of the site file. refused : what cannot be said yet, in sentences.
    """

    dates: DayArray
    tanks: tuple[str, ...]
    observed_l: FloatArray
    expected_l: FloatArray
    censored: NDArray[np.bool_]
    catch: Estimate | None
    flush: Estimate | None
    used: tuple[UseFound, ...]
    unmetered: Estimate | None
    unknown: Estimate | None
    changes: int
    rainy: int
    set_aside: tuple[str, ...]
    own_rain_days: int
    offers: tuple[Finding, ...]
    refused: tuple[str, ...]


def reconcile(site: Site, design: Design, *, log: DailyLog) -> tuple[Reconciled, ...]:
    """Compare a log with its design: each group of tanks between which water moves by itself.

    Raises TooLittleLogged where no tank's volume is known at all.
    """
    return reconcile_groups(site, log, expected=expected_of(design))


def reconcile_groups(site: Site, log: DailyLog, *, expected: Expected) -> tuple[Reconciled, ...]:
    """The same with what is expected already at hand."""
    found, little = [], None
    for tanks in groups_of(site, log):
        try:
            found.append(reconcile_on(site, only(log, tanks), expected=expected))
        except TooLittleLogged as told:
            little = told
    if not found:
        raise little or TooLittleLogged("The site has no tank.")
    return tuple(found)


def reconcile_on(site: Site, log: DailyLog, *, expected: Expected) -> Reconciled:
    """All tanks of a log taken together as one store."""
    account = account_of(site, log, expected=expected)
    changes = changes_of(account)
    rainy = int((_came(account, changes) > 0.0).sum())
    refused = list(_too_little(account, changes, rainy=rainy))
    asked = () if refused else _asked(account)
    fitted = fit(account, changes, asked=asked) if asked else None
    used, waits = uses_found(site, log, account=account, expected=expected)
    found = _estimates(fitted, changes, rainy=rainy, asked=asked, meters_l_day=_wrong(account))
    return Reconciled(
        dates=account.dates,
        tanks=account.tanks,
        observed_l=np.r_[np.diff(account.held_l), np.nan],
        expected_l=_expected_l(account),
        censored=account.may_spill | account.may_lack,
        catch=found.get(CATCH),
        flush=found.get(FLUSH),
        used=used,
        unmetered=found.get(USE),
        unknown=found.get(UNKNOWN),
        changes=changes.count,
        rainy=rainy,
        set_aside=_set_aside(account, changes, fitted=fitted),
        own_rain_days=int(account.own_rain.sum()),
        offers=offers(site, account, found=found, used=used, log_days=log.dates),
        refused=(*refused, *waits),
    )


def _came(account: Account, changes: Changes) -> FloatArray:
    total = np.r_[0.0, np.cumsum(inflow_l(account))]
    return np.asarray(total[changes.last] - total[changes.first])


def _asked(account: Account) -> tuple[int, ...]:
    """What the log can tell apart: a leak and a use without a meter never."""
    asked = [CATCH]
    if any(roof.first_flush is not None for roof in account.roofs):
        asked.append(FLUSH)
    everything = float(account.assumed_l.mean()) + float(np.nan_to_num(account.metered_l).mean())
    is_metered = float(account.assumed_l.mean()) <= KNOWN_BY_METER * everything
    return (*asked, UNKNOWN if is_metered else USE)


def _too_little(account: Account, changes: Changes, *, rainy: int) -> tuple[str, ...]:
    least = int(table("reconcile")["least rainy days"].value)
    if not account.roofs:
        return ("No roof drains to a tank that is gauged, so that the log says nothing of a roof.",)
    if not np.isfinite(account.rain_mm).any():
        return (
            "Neither a rain gauge nor the record tells the rain of the log's days: read a rain "
            "gauge at the site.",
        )
    if rainy < least:
        days = "day" if rainy == 1 else "days"
        return (
            f"So far {rainy} {days} of the log brought the tanks water that neither filled them "
            f"nor fell between readings far apart; {least} are needed before it says what the "
            f"roof sheds.",
        )
    return ()


def _estimates(
    fitted: Fitted | None,
    changes: Changes,
    *,
    rainy: int,
    asked: tuple[int, ...],
    meters_l_day: float,
) -> dict[int, Estimate]:
    """Each figure with its range; what the meters may all read wrong counts in the unknown."""
    if fitted is None:
        return {}
    wide = table("reconcile")["range"].value
    names = {CATCH: "catch", FLUSH: "first flush", USE: "use without a meter", UNKNOWN: "unknown"}
    days = {
        CATCH: rainy,
        FLUSH: rainy,
        USE: int(changes.days.sum()),
        UNKNOWN: int(changes.days[changes.season == changes.season[-1]].sum()),
    }
    found = {}
    for k in asked:
        at = -1 if k == UNKNOWN else k
        value, half = float(fitted.value[at]), wide * float(fitted.error[at])
        half += meters_l_day if k == UNKNOWN else 0.0
        least = -np.inf if k == UNKNOWN else 0.0
        low, high = max(value - half, least), max(value + half, least)
        found[k] = Estimate(names[k], max(value, least), low, high, days[k])
    return found


def _wrong(account: Account) -> float:
    """What the meters may count too much or too little in a day."""
    counted = account.metered_l[np.isfinite(account.metered_l)]
    mean = float(counted.mean()) if account.counted and counted.size else 0.0
    return table("reconcile")["meter error"].value * mean


def _expected_l(account: Account) -> FloatArray:
    """The change of each day by the file's figures."""
    metered = account.metered_l if account.counted else np.zeros(account.days)
    out = metered + account.assumed_l + account.open_l
    return np.asarray(
        np.where(np.isfinite(account.rain_mm), inflow_l(account), np.nan) + account.came_l - out
    )


def _set_aside(account: Account, changes: Changes, *, fitted: Fitted | None) -> tuple[str, ...]:
    if fitted is None:
        return ()
    return tuple(str(day) for day in account.dates[changes.first[fitted.aside]])
