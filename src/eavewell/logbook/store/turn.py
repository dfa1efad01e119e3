"""A writer's turn: who finds another program writing is told at once, and waits some while."""

import sqlite3
from collections.abc import Callable

import sqlalchemy as sa

PATIENCE_S = 30.0
_AT_ONCE_S = 0.3
Waits = Callable[[str], None]


def begin(connection: sa.Connection) -> None:
    """Begin a transaction of a file; a writer waits before it reads, so that this still stands."""
    if not connection.get_execution_options().get("writes"):
        connection.exec_driver_sql("BEGIN")
        return
    plain = connection.connection.driver_connection
    assert isinstance(plain, sqlite3.Connection)
    plain.execute(f"PRAGMA busy_timeout = {_AT_ONCE_S * 1000:.0f}")
    try:
        plain.execute("BEGIN IMMEDIATE")
        return
    except sqlite3.OperationalError as broken:
        if "locked" in str(broken):
            _tell(connection)
    finally:
        plain.execute(f"PRAGMA busy_timeout = {PATIENCE_S * 1000:.0f}")
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def lock(connection: sa.Connection, key: int) -> None:
    """Keep other writers of an office's database out of what a key stands for; a file is begun so.

    It holds until the transaction ends.
    """
    if connection.dialect.name != "postgresql":
        return
    if connection.execute(sa.select(sa.func.pg_try_advisory_xact_lock(key))).scalar():
        return
    _tell(connection)
    connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{PATIENCE_S:.0f}s'")
    connection.execute(sa.select(sa.func.pg_advisory_xact_lock(key)))


def _tell(connection: sa.Connection) -> None:
    if waits := connection.get_execution_options().get("waits"):
        waits()
