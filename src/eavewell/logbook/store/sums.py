"""Day sums beside the readings: written in the same transaction, read without the readings."""

from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import Any

import numpy as np
import sqlalchemy as sa
from numpy.typing import NDArray

from eavewell.logbook.kept import DaySums, Taken, Times
from eavewell.logbook.readings.day_sums import summed
from eavewell.logbook.readings.midnights import local_date, midnights_utc
from eavewell.logbook.store.layout import day_sum, gauge, reading, site
from eavewell.logbook.store.rows import Instants, Stored, columns_of, insert_rows

DAY_ZERO = 719_163  # 1 January 1970 as date.toordinal counts
_EVER = 2**62
_NAMES = tuple(field.name for field in fields(DaySums) if field.name != "dates")
_COLUMNS = ("gauge_key", "day", *_NAMES)


def times(at_ms: Instants) -> Times:
    """Instants as the rest of the logbook has them."""
    return at_ms.astype("datetime64[ms]")


def whole_days(at_ms: Instants, zone: str) -> tuple[int, int]:
    """The instants between which lie all days that hold some instants."""
    first = local_date(times(at_ms.min(keepdims=True))[0], zone)
    last = local_date(times(at_ms.max(keepdims=True))[0], zone)
    midnights = midnights_utc(first, (last - first).days + 1, zone=zone)
    return int(midnights[0].astype(np.int64)), int(midnights[-1].astype(np.int64))


def stored(connection: sa.Connection, gauge_key: int, *, since: int, until: int) -> Stored:
    """Readings of a gauge from one instant to before another, struck ones too."""
    columns = (reading.c.at_ms, reading.c.value, reading.c.key, reading.c.struck)
    asked = (
        sa.select(*columns)
        .where(reading.c.gauge_key == gauge_key)
        .where(reading.c.at_ms >= since, reading.c.at_ms < until)
        .order_by(reading.c.at_ms)
    )
    at_ms, value, keys, struck = columns_of(connection, asked, "i8", "f8", "i8", "?")
    return Stored(at_ms, value, keys, struck)


def rewrite(connection: sa.Connection, gauge_key: int, *, held: Stored, zone: str) -> None:
    """Write the sums of the days that readings lie in; they must be all readings of those days."""
    if not held.at_ms.size:
        return
    days = [local_date(times(held.at_ms[[end]])[0], zone).toordinal() - DAY_ZERO for end in (0, -1)]
    gone = sa.delete(day_sum).where(day_sum.c.gauge_key == gauge_key)
    connection.execute(gone.where(day_sum.c.day.between(days[0], days[1])))
    stands = ~held.struck
    sums = summed(Taken(times(held.at_ms[stands]), held.value[stands], held.keys[stands]), zone)
    insert_rows(connection, day_sum, columns=_COLUMNS, rows=_rows(gauge_key, sums))


def resum(connection: sa.Connection, gauge_key: int, *, zone: str, at_ms: int) -> None:
    """Write the sums of the day that an instant lies in anew, from the readings of that day."""
    since, until = whole_days(np.array([at_ms]), zone)
    day = local_date(times(np.array([at_ms]))[0], zone).toordinal() - DAY_ZERO
    gone = sa.delete(day_sum).where(day_sum.c.gauge_key == gauge_key, day_sum.c.day == day)
    connection.execute(gone)
    held = stored(connection, gauge_key, since=since, until=until)
    rewrite(connection, gauge_key, held=held, zone=zone)


def recount(connection: sa.Connection, site_key: int, *, zone: str) -> None:
    """Write all sums of a site anew, in the days of another zone."""
    named = sa.select(gauge.c.key).where(gauge.c.site_key == site_key)
    for key in connection.execute(named).scalars().all():
        recount_gauge(connection, key, zone=zone)
    connection.execute(sa.update(site).where(site.c.key == site_key).values(zone=zone))


def recount_gauge(connection: sa.Connection, gauge_key: int, *, zone: str) -> None:
    """Write all sums of a gauge anew from its readings."""
    connection.execute(sa.delete(day_sum).where(day_sum.c.gauge_key == gauge_key))
    held = stored(connection, gauge_key, since=-_EVER, until=_EVER)
    rewrite(connection, gauge_key, held=held, zone=zone)


def _rows(gauge_key: int, sums: DaySums) -> Iterator[Sequence[Any]]:
    columns = [_plain(getattr(sums, name)) for name in _NAMES]
    days = sums.dates.astype("datetime64[D]").astype(np.int64).tolist()
    keys = [gauge_key] * len(days)
    return zip(keys, days, *columns, strict=True)


def _plain(column: NDArray[Any]) -> list[Any]:
    """Numbers as a database takes them; None for what is unknown."""
    if column.dtype.kind == "M":
        unknown, plain = np.isnat(column), column.astype("datetime64[ms]").astype(np.int64)
    else:
        unknown = np.isnan(column) if column.dtype.kind == "f" else np.zeros(column.size, bool)
        plain = column
    values: list[Any] = plain.tolist()
    for row in np.flatnonzero(unknown).tolist():
        values[row] = None
    return values


def sums_of(connection: sa.Connection, gauge_key: int, *, days: tuple[int, int]) -> DaySums:
    """The sums of a gauge from one day to before another."""
    columns = [day_sum.c.day, *(day_sum.c[name] for name in _NAMES)]
    asked = (
        sa.select(*columns)
        .where(day_sum.c.gauge_key == gauge_key)
        .where(day_sum.c.day >= days[0], day_sum.c.day < days[1])
        .order_by(day_sum.c.day)
    )
    day, *found = columns_of(connection, asked, "i8", *("f8" for _ in _NAMES))
    told = {name: _back(name, column) for name, column in zip(_NAMES, found, strict=True)}
    return DaySums(dates=day.astype("datetime64[D]"), **told)


def _back(name: str, column: NDArray[Any]) -> NDArray[Any]:
    if name.endswith("at_utc"):
        at = np.where(np.isnan(column), 0.0, column).astype(np.int64).astype("datetime64[ms]")
        at[np.isnan(column)] = np.datetime64("NaT")
        return at
    whole = name.endswith("count") or name == "falls"
    return column.astype(np.int64) if whole else column
