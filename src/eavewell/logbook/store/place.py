"""Where a log lies, how it is reached, and what is said where it cannot be."""

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from urllib.parse import unquote, urlsplit

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from eavewell.faults import BadLog
from eavewell.logbook.store.turn import PATIENCE_S, Waits, begin
from eavewell.site.gauge import LOG_FILE
from eavewell.site.site import Site

PASSWORD = "EAVEWELL_LOG_PASSWORD"
SERVER = "EAVEWELL_LOG_SERVER"
_USUAL_PORT = 5432
_ROOM_BYTES = 256 * 1024
_PRAGMAS = (
    "journal_mode = WAL",
    "synchronous = FULL",
    "foreign_keys = ON",
    "temp_store = MEMORY",
    "cache_size = -65536",
)


@dataclass(frozen=True, slots=True)
class Place:
    """Where the log of a site is kept.

    file : beside the site file; None for a database. address : of the database.
    site : the site's name there; "" in a file, which is one site's.
    """

    file: Path | None = None
    address: str = ""
    site: str = ""

    @property
    def words(self) -> str:
        """How a sentence calls it; never with a password."""
        if self.file is not None:
            return str(self.file)
        parts = urlsplit(self.address)
        return f"the database at {parts.hostname}{f':{parts.port}' if parts.port else ''}"


def place_of(site: Site) -> Place:
    """Where a site says that its log is kept."""
    if not site.log.kept_in:
        return Place(Path(site.folder or ".") / LOG_FILE)
    address, _, name = site.log.kept_in.partition("#")
    return Place(None, address, unquote(name) or site.name)


def engine_of(place: Place, *, make: bool, waits: Waits | None = None) -> sa.Engine:
    """An engine for a place; nothing is opened yet, but that a file to read only is copied.

    waits : is given a sentence where another program writes there.
    """
    made = _engine(place, make=make)
    if waits is None:
        return made
    says = f"Another program writes into {place.words}; waiting up to {PATIENCE_S:g} s."
    return made.execution_options(waits=partial(waits, says))


def _engine(place: Place, *, make: bool) -> sa.Engine:
    if place.file is None:
        return _office(place.address)
    if not make and not _can_write(place.file):
        return _read_only(place.file)
    engine = sa.create_engine(
        sa.URL.create("sqlite", database=str(place.file)),
        connect_args={"timeout": PATIENCE_S, "check_same_thread": False},
    )
    event.listen(engine, "connect", _kept_whole)
    event.listen(engine, "begin", begin)
    return engine


def _kept_whole(connection: sqlite3.Connection, _record: object) -> None:
    """Every commit is on the disk before it is acknowledged; transactions are begun by hand."""
    connection.isolation_level = None
    try:
        for pragma in _PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
    except BaseException:
        connection.close()
        raise


def _office(address: str) -> sa.Engine:
    try:
        url = sa.make_url(address).set(drivername="postgresql+pg8000")
    except (SQLAlchemyError, ValueError):
        raise BadLog("kept_in: it is no address such as postgresql://eavewell@office/logs.") from (
            None
        )
    _refuse_strange(f"{url.host}:{url.port or _USUAL_PORT}")
    if password := os.environ.get(PASSWORD):
        url = url.set(password=password)
    try:
        return sa.create_engine(url, connect_args={"timeout": 10}, pool_pre_ping=True)
    except ModuleNotFoundError:
        raise BadLog(
            "An office's database needs one more package: pip install 'eavewell[office]'."
        ) from None


def _refuse_strange(server: str) -> None:
    """A site file may come from anybody: it alone sends neither us nor a password anywhere."""
    ours = os.environ.get(SERVER, "").split()
    if server not in [one if ":" in one else f"{one}:{_USUAL_PORT}" for one in ours]:
        raise BadLog(
            f"The site file keeps its log at {server}. As a site file may come from anybody, we "
            f"go only to the server that {SERVER} names: set it to {server} if that is yours."
        )


def _can_write(file: Path) -> bool:
    return os.access(file.parent, os.W_OK) and (not file.exists() or os.access(file, os.W_OK))


def _read_only(file: Path) -> sa.Engine:
    """A copy to read: what was written last may still lie beside the file, and must be read."""
    folder = tempfile.TemporaryDirectory(prefix="eavewell-log-")
    for name in (LOG_FILE, f"{LOG_FILE}-wal"):
        if (file.parent / name).exists():
            shutil.copyfile(file.parent / name, Path(folder.name) / name)
    engine = engine_of(Place(Path(folder.name) / LOG_FILE), make=True)
    event.listen(engine, "engine_disposed", lambda _engine: folder.cleanup())
    return engine


@contextmanager
def in_words(place: Place) -> Iterator[None]:
    """Says in a sentence why the log cannot be read or written; nothing of it is lost then."""
    try:
        yield
    except DBAPIError as broken:
        raise BadLog(_sentence(place, str(broken.orig or broken), broken=broken)) from broken
    except (sqlite3.Error, OSError) as broken:
        raise BadLog(_sentence(place, str(broken), broken=broken)) from broken


def _sentence(place: Place, says: str, *, broken: Exception) -> str:
    if place.file is None:
        return _office_sentence(place, says)
    file, folder = place.file, place.file.parent
    whole = "nothing of this was written, and what was in the log before is whole"
    if "full" in says or (("disk I/O" in says or "No space" in says) and _no_room(folder)):
        return f"There is no room left on the disk of {folder}: {whole}. Make room, do it again."
    if not folder.is_dir():
        return f"There is no folder {folder}: a log lies beside its site file."
    if "locked" in says:
        return f"{file} is being written by another program: try again when it is done."
    if "readonly" in says or "unable to open" in says or not _can_write(file):
        return f"{folder} cannot be written to: {whole}. Make it writable, do it again."
    if "not a database" in says or "malformed" in says:
        says = "it is no log, or is damaged; move it away, and a new one is begun"
    return f"{file} was left as it is: {says} ({type(broken).__name__})."


def _no_room(folder: Path) -> bool:
    try:
        return shutil.disk_usage(folder).free < _ROOM_BYTES
    except OSError:
        return False


def _office_sentence(place: Place, says: str) -> str:
    if "28P01" in says or "28000" in says or "password" in says.casefold():
        return (
            f"{place.words} does not let us in: see the user in kept_in, and the password in "
            f"{PASSWORD}."
        )
    if "3D000" in says:
        return f"{place.words} has no such database as kept_in names: have it made."
    if "53100" in says:
        return f"There is no room left on the disk of {place.words}: nothing of this was written."
    if "55P03" in says:
        return f"{place.words} is being written by another program: try again when it is done."
    if "42501" in says or "25006" in says:
        return f"{place.words} does not let us write: nothing of this was written."
    return f"{place.words} cannot be reached, or broke off: nothing of this was written. ({says})"
