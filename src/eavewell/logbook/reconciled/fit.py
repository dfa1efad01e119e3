"""Weighted least squares on the changes of level between readings.

Between two readings the account says: change = roof water x what the roof truly sheds - first flush
- use + loads - what nothing accounts for. A reading's error stands in the change before it and,
turned round, in the change after it, so the changes are weighed together by their covariance: the
readings' variances on and beside the diagonal, and on it what rain, use and meters vary from day
to day. The ranges come from the normal equations, widened where the changes scatter more than the
log says.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from eavewell.catchment.runoff import roof_water, runoff_share
from eavewell.logbook.reconciled.account import Account
from eavewell.site.rain_record import FloatArray
from eavewell.site.roof import Roof, Sheds
from eavewell.tables import table

CATCH, FLUSH, USE, UNKNOWN = range(4)
# as the file has it; what is unknown follows, season by season
START = np.array([1.0, 1.0, 1.0])
STEP = 0.02
CLOSE = 1e-3
ROUNDS = 6
# median size of a normal error of standard deviation 1
MEDIAN_OF_ONE = 0.6745
NO_SAY = 1e12  # litres squared: the variance of a change that is set aside


@dataclass(frozen=True, slots=True, eq=False)
class Changes:
    """Changes between readings: from level `first` to level `last`, both row numbers; (change,).

    change_l : of the level, less what came by loads, plus what was metered and evaporated.
    assumed_l: what uses without a meter were expected to draw.
    season : of each change, 0 for the first; the last season is the whole one before the log's end.
    noise_l2 : variance of use and meters over the days. held_first_l2, held_last_l2 : of the two
    readings.
    """

    first: NDArray[np.int64]
    last: NDArray[np.int64]
    change_l: FloatArray
    assumed_l: FloatArray
    season: NDArray[np.int64]
    noise_l2: FloatArray
    held_first_l2: FloatArray
    held_last_l2: FloatArray

    @property
    def count(self) -> int:
        """How many there are."""
        return int(self.first.size)

    @property
    def days(self) -> NDArray[np.int64]:
        """Days between the two readings."""
        return self.last - self.first


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """What fits best: catch, flush and use as factors on what was expected, unknown in L/day.

    value, error : [catch, flush, use, unknown of each season]; an error of nan where it was not
    asked for.
    excess : by how much the changes scatter more than the log says, as a factor on the sd, least 1.
    aside  : changes that were set aside, (change,). residual_l : of each change.
    """

    value: FloatArray
    error: FloatArray
    excess: float
    aside: NDArray[np.bool_]
    residual_l: FloatArray


def changes_of(account: Account) -> Changes:
    """Changes between readings of their own day, with nothing unknown or censored in between."""
    rows = np.flatnonzero(account.plain)
    first, last = rows[:-1], rows[1:]
    figures = table("reconcile")
    flows = account.came_l - _metered(account) - account.open_l
    bad = ~np.isfinite(flows) | ~np.isfinite(account.rain_mm) | account.may_spill
    bad |= account.may_lack
    usable = (_over(bad, first, last=last) == 0) & (last - first <= figures["farthest apart"].value)
    first, last = first[usable], last[usable]
    use_l2 = (figures["use varies"].value * account.assumed_l) ** 2
    wrong = figures["use varies" if account.seldom else "meter error"].value
    meter_l2 = (wrong * np.nan_to_num(_metered(account))) ** 2
    held, sd2 = account.held_l, account.held_sd_l**2
    return Changes(
        first=first,
        last=last,
        change_l=held[last] - held[first] - _over(np.nan_to_num(flows), first, last=last),
        assumed_l=_over(account.assumed_l, first, last=last),
        season=_seasons(account.days - 1 - first),
        noise_l2=_over(use_l2 + meter_l2, first, last=last),
        held_first_l2=sd2[first],
        held_last_l2=sd2[last],
    )


def _seasons(days_back: NDArray[np.int64]) -> NDArray[np.int64]:
    """A leak begins some day: what is unknown may differ from season to season."""
    back = days_back // int(table("leaks")["season"].value)
    return np.unique(-back, return_inverse=True)[1]


def inflow_l(account: Account, *, catch: float = 1.0, flush: float = 1.0) -> FloatArray:
    """Roof water of each day, what roofs shed and their first flush take times a factor."""
    rain_mm = np.nan_to_num(account.rain_mm)
    came = np.zeros(account.days)
    for roof in account.roofs:
        real = scaled(roof, catch=catch, flush=flush)
        came += roof.plan_area_m2 * roof_water(real, rain_mm, months=account.months).runoff_mm
    return came


def scaled(roof: Roof, *, catch: float, flush: float) -> Roof:
    """A roof that sheds, and whose diverter takes, so many times what is taken for granted."""
    usual = runoff_share(roof)
    share = usual.value * catch
    led = roof.first_flush
    if led is not None and led.depth_mm is not None:
        led = replace(led, depth_mm=led.depth_mm * flush)
    elif led is not None and led.volume_l is not None:
        led = replace(led, volume_l=led.volume_l * flush)
    return replace(roof, sheds=Sheds(share, share, share), first_flush=led)


def fit(account: Account, changes: Changes, *, asked: tuple[int, ...]) -> Fitted:
    """The factors that fit the changes best; what is not asked stays as expected.

    asked : of CATCH, FLUSH, USE and UNKNOWN.
    """
    aside = np.zeros(changes.count, dtype=bool)
    most = table("reconcile")["set aside beyond"].value
    found = _fit(account, changes, asked=asked, aside=aside)
    for _ in range(4):
        sd = np.sqrt(_diagonal(account, changes, value=found.value, aside=np.zeros_like(aside)))
        off = np.abs(found.residual_l) / sd
        strange = off > most * max(1.0, float(np.median(off)) / MEDIAN_OF_ONE)
        if np.array_equal(strange, aside):
            break
        aside = strange
        found = _fit(account, changes, asked=asked, aside=aside)
    return found


def _fit(
    account: Account, changes: Changes, *, asked: tuple[int, ...], aside: NDArray[np.bool_]
) -> Fitted:
    seasons = int(changes.season.max(initial=0)) + 1
    value = np.r_[START, np.zeros(seasons)]
    columns = [k for k in asked if k != UNKNOWN]
    columns += range(UNKNOWN, value.size) if UNKNOWN in asked else []
    normal = np.eye(len(columns))
    for _ in range(ROUNDS):
        slope = _slopes(account, changes, value=value)[:, columns]
        missed = changes.change_l - _expected(account, changes, value=value)
        whitened = _whitened(account, changes, value=value, aside=aside, of=np.c_[slope, missed])
        slope, missed = _with_priors(whitened[:, :-1], whitened[:, -1], value=value, asked=columns)
        normal = slope.T @ slope
        step = np.linalg.solve(normal, slope.T @ missed)
        value[columns] += step
        value[CATCH], value[FLUSH] = max(value[CATCH], 0.05), max(value[FLUSH], 0.0)
        if np.abs(step).max() < CLOSE:
            break
    missed = changes.change_l - _expected(account, changes, value=value)
    white = _whitened(account, changes, value=value, aside=aside, of=missed[:, None])[~aside, 0]
    excess = float(np.sqrt(max(1.0, white @ white / max(white.size - len(columns), 1))))
    error = np.full(value.size, np.nan)
    error[columns] = np.sqrt(np.diag(np.linalg.inv(normal))) * excess
    return Fitted(value, error, excess, aside, missed)


def _with_priors(
    slope: FloatArray, missed: FloatArray, *, value: FloatArray, asked: list[int]
) -> tuple[FloatArray, FloatArray]:
    """The stated first flush counts as one reading more, with its own doubt."""
    if FLUSH not in asked:
        return slope, missed
    sd = table("reconcile")["first flush known within"].value
    row = np.zeros(len(asked))
    row[asked.index(FLUSH)] = 1.0 / sd
    return np.vstack([slope, row]), np.r_[missed, (1.0 - value[FLUSH]) / sd]


def _expected(account: Account, changes: Changes, *, value: FloatArray) -> FloatArray:
    came = inflow_l(account, catch=value[CATCH], flush=value[FLUSH])
    return np.asarray(
        _over(came, changes.first, last=changes.last)
        - value[USE] * changes.assumed_l
        - value[UNKNOWN:][changes.season] * changes.days
    )


def _slopes(account: Account, changes: Changes, *, value: FloatArray) -> FloatArray:
    """How the expected changes answer to each factor, shape (change, value)."""
    columns = []
    for k in (CATCH, FLUSH):
        more, less = value.copy(), value.copy()
        more[k], less[k] = value[k] + STEP, value[k] - STEP
        step = _expected(account, changes, value=more) - _expected(account, changes, value=less)
        columns.append(step / (2.0 * STEP))
    seasons = np.arange(value.size - UNKNOWN)
    unknown = np.where(changes.season[:, None] == seasons, -1.0 * changes.days[:, None], 0.0)
    return np.column_stack([*columns, -changes.assumed_l, unknown])


def _diagonal(
    account: Account, changes: Changes, *, value: FloatArray, aside: NDArray[np.bool_]
) -> FloatArray:
    """Variance of each change."""
    varies = table("reconcile")["catch varies"].value
    came = varies * inflow_l(account, catch=value[CATCH], flush=value[FLUSH])
    rain_l2 = _over(came**2, changes.first, last=changes.last)
    held_l2 = changes.held_first_l2 + changes.held_last_l2
    return np.asarray(held_l2 + changes.noise_l2 + rain_l2 + NO_SAY * aside)


def _whitened(
    account: Account,
    changes: Changes,
    *,
    value: FloatArray,
    aside: NDArray[np.bool_],
    of: FloatArray,
) -> FloatArray:
    """Columns of the equations weighed by the covariance of the changes, shape as given."""
    on = _diagonal(account, changes, value=value, aside=aside)
    shared = changes.last[:-1] == changes.first[1:]
    beside = np.r_[0.0, np.where(shared, -changes.held_last_l2[:-1], 0.0)]
    white = np.empty_like(of)
    root, before = 1.0, np.zeros(of.shape[1])
    # Cholesky's lower factor of a matrix with one band beside its diagonal, solved as it is made.
    for k, (variance, covariance) in enumerate(zip(on.tolist(), beside.tolist(), strict=True)):
        across = covariance / root
        root = math.sqrt(variance - across * across)
        before = (of[k] - across * before) / root
        white[k] = before
    return white


def _over(
    of_day: FloatArray | NDArray[np.bool_],
    first: NDArray[np.int64],
    *,
    last: NDArray[np.int64],
) -> FloatArray:
    """Sum over the days from each first row up to, not including, its last."""
    total = np.r_[0.0, np.cumsum(of_day, dtype=float)]
    return np.asarray(total[last] - total[first])


def _metered(account: Account) -> FloatArray:
    """What the meters counted; nothing where there is none."""
    return account.metered_l if account.counted else np.zeros(account.days)
