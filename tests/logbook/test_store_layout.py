"""The steps that make a log lead to the layout that the program reads and writes."""

import sys
from pathlib import Path

import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

import eavewell.logbook.store as room
from eavewell.logbook.store import open_log
from eavewell.logbook.store.layout import layout
from eavewell.logbook.store.opened import NEWEST
from eavewell.logbook.store.place import engine_of, place_of


def test_the_steps_lead_to_the_layout(kept_in, logged_site):
    site = logged_site(kept_in)
    open_log(site).close()
    engine = engine_of(place_of(site), make=False)
    with engine.connect() as connection:
        made = MigrationContext.configure(connection)
        assert made.get_current_revision() == NEWEST
        assert compare_metadata(made, layout) == []
        assert set(sa.inspect(connection).get_table_names()) == {*layout.tables, "alembic_version"}
    engine.dispose()


def test_the_newest_step_is_the_last():
    steps = Config()
    steps.set_main_option("path_separator", "os")
    steps.set_main_option("script_location", str(Path(room.__file__).parent / "migrations"))
    assert ScriptDirectory.from_config(steps).get_heads() == [NEWEST]


def test_a_file_is_written_through_to_the_disk_and_minds_what_refers(logged_site):
    site = logged_site()
    with open_log(site):
        engine = engine_of(place_of(site), make=True)
        with engine.connect() as connection:
            told = [
                connection.exec_driver_sql(f"PRAGMA {name}").scalar()
                for name in ("journal_mode", "synchronous", "foreign_keys")
            ]
        engine.dispose()
    assert told == ["wal", 2, 1]


def test_a_log_that_stands_is_opened_without_the_steps(logged_site, monkeypatch):
    open_log(logged_site()).close()
    monkeypatch.setitem(sys.modules, "alembic", None)
    open_log(logged_site()).close()
