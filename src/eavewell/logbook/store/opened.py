"""A log opened: made where there is none, and brought up to this program's layout."""

from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.exc import DBAPIError

from eavewell.faults import BadLog
from eavewell.logbook.store.layout import site as sites
from eavewell.logbook.store.place import Place, engine_of, in_words, place_of
from eavewell.logbook.store.rows import new_key
from eavewell.logbook.store.store import Store
from eavewell.logbook.store.sums import recount
from eavewell.logbook.store.turn import Waits, lock
from eavewell.site.site import Site

# the last step of migrations/versions; a test sees that it is
NEWEST = "v1"
# beyond the keys of sites, by which their own logs are locked
_LAYOUT_LOCK = 2**62 + 1


def opened(site: Site, *, make: bool, waits: Waits | None = None) -> Store:
    """The log of a site; see `open_log`."""
    place = place_of(site)
    if not make and place.file is not None and not place.file.exists():
        raise BadLog(
            f"There is no log beside the site file yet: {place.file} is not there. The first "
            'reading begins it, such as: eavewell log level "41 in".'
        )
    engine = engine_of(place, make=make, waits=waits)
    try:
        with in_words(place):
            if _layout(engine) != NEWEST:
                _bring_up(engine, place)
            key = _site_key(engine, place, site=site)
            return Store(engine, place, key=key, zone=site.log.zone)
    except BaseException:
        engine.dispose()
        raise


def _layout(engine: sa.Engine) -> str:
    """The step at which a log stands; "" for an empty database."""
    with engine.connect() as connection:
        try:
            found = connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar()
        except DBAPIError as broken:
            if "no such table" in str(broken.orig) or "42P01" in str(broken.orig):
                return ""
            raise
    return str(found or "")


def _bring_up(engine: sa.Engine, place: Place) -> None:
    """Take every step that is missing, in one transaction."""
    from alembic import command
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    steps = Config()
    steps.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    steps.set_main_option("path_separator", "os")
    known = {step.revision for step in ScriptDirectory.from_config(steps).walk_revisions()}
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        lock(connection, _LAYOUT_LOCK)
        at = _stands_at(connection)
        if at and at not in known:
            raise BadLog(
                f"{place.words} was written by a newer Eavewell (layout {at}): bring this one up "
                "to date. The log was left as it is."
            )
        if not at and (strange := set(sa.inspect(connection).get_table_names())):
            raise BadLog(
                f"{place.words} holds something else ({', '.join(sorted(strange)[:3])}): a log "
                "needs a database of its own. It was left as it is."
            )
        steps.attributes["connection"] = connection
        command.upgrade(steps, "head")


def _stands_at(connection: sa.Connection) -> str:
    if not sa.inspect(connection).has_table("alembic_version"):
        return ""
    return str(connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar())


def _site_key(engine: sa.Engine, place: Place, *, site: Site) -> int:
    """The key of the site in its log; written where it is new, its days counted in its zone."""
    asked = sa.select(sites.c.key, sites.c.zone).where(sites.c.name == place.site)
    with engine.connect() as connection:
        found = connection.execute(asked).one_or_none()
    if found is not None and found.zone == site.log.zone:
        return int(found.key)
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        lock(connection, _LAYOUT_LOCK)
        found = connection.execute(asked).one_or_none()
        if found is None:
            return new_key(connection, sites, name=place.site, zone=site.log.zone)
        if found.zone != site.log.zone:
            recount(connection, found.key, zone=site.log.zone)
        return int(found.key)
