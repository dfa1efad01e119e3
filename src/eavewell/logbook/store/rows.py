"""Many rows at once: a million of them in seconds, the same in both kinds of database."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import islice
from typing import Any

import numpy as np
import sqlalchemy as sa
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray

Instants = NDArray[np.int64]
_AT_ONCE = 20_000
_ARRAYS = {"Text": "text", "Double": "double precision", "Boolean": "boolean"}
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def ms_of(at: datetime) -> int:
    """An instant as the log counts it."""
    past = at - EPOCH
    return (past.days * 86_400 + past.seconds) * 1000 + past.microseconds // 1000


def instant(at_ms: int) -> datetime:
    """An instant that the log counted."""
    return EPOCH + timedelta(milliseconds=at_ms)


@dataclass(frozen=True, slots=True, eq=False)
class Stored:
    """Readings of one gauge as they lie in the log, in the order of time; shape (reading,)."""

    at_ms: Instants
    value: FloatArray
    keys: Instants
    struck: NDArray[np.bool_]


def insert_rows(
    connection: sa.Connection,
    table: sa.Table,
    *,
    columns: Sequence[str],
    rows: Iterable[Sequence[Any]],
) -> None:
    """Write rows into some columns of a table."""
    names = ", ".join(f'"{name}"' for name in columns)
    if connection.dialect.name == "sqlite":
        marks = ", ".join("?" * len(columns))
        rows = list(rows)
        if rows:
            connection.exec_driver_sql(
                f'INSERT INTO "{table.name}" ({names}) VALUES ({marks})', rows
            )
        return
    arrays = ", ".join(f"%s::{_array(table.c[name])}[]" for name in columns)
    written = f'INSERT INTO "{table.name}" ({names}) SELECT * FROM unnest({arrays})'
    rest = iter(rows)
    while some := list(islice(rest, _AT_ONCE)):
        by_column = tuple(list(column) for column in zip(*some, strict=True))
        connection.exec_driver_sql(written, by_column)


def _array(column: sa.Column[Any]) -> str:
    return _ARRAYS.get(type(column.type).__name__, "bigint")


def columns_of(connection: sa.Connection, asked: sa.Select[Any], *kinds: str) -> list[NDArray[Any]]:
    """The columns of what is asked, each an array of its kind; None becomes nan in floats."""
    # as the driver gives them: a million rows need no names
    rows = connection.execute(asked).cursor.fetchall()
    return [np.array([row[at] for row in rows], dtype=kind) for at, kind in enumerate(kinds)]


def new_key(connection: sa.Connection, table: sa.Table, **values: Any) -> int:
    """Write one row; the key it has got."""
    new = sa.insert(table).values(values).returning(table.c.key)
    return int(connection.execute(new).scalar_one())
