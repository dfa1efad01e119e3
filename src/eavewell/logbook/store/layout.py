"""The tables of a log. Instants are milliseconds of universal time since 1970."""

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Double,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    false,
)

# SQLite numbers its rows by INTEGER alone
KEY = BigInteger().with_variant(Integer, "sqlite")

layout = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
    }
)


def _key() -> Column[int]:
    return Column("key", KEY, primary_key=True)


def _of(table: str, *, none: bool = False) -> Column[int]:
    return Column(f"{table}_key", KEY, ForeignKey(f"{table}.key"), nullable=none)


# zone : the days that day_sum counts in. An office keeps many sites in one database.
site = Table(
    "site",
    layout,
    _key(),
    Column("name", Text, nullable=False, unique=True),
    Column("zone", Text, nullable=False),
)
gauge = Table(
    "gauge",
    layout,
    _key(),
    _of("site"),
    Column("name", Text, nullable=False),
    UniqueConstraint("site_key", "name"),
)
# by whom and how a reading was taken, and in what time zone: few of them to many readings
hand = Table(
    "hand",
    layout,
    _key(),
    Column("zone", Text, nullable=False),
    Column("who", Text, nullable=False),
    Column("how", Text, nullable=False),
    UniqueConstraint("zone", "who", "how"),
)
# a file that was brought in; digest : of its bytes and of what it was read as
brought = Table(
    "brought",
    layout,
    _key(),
    _of("site"),
    Column("digest", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("who", Text, nullable=False),
    Column("at_ms", BigInteger),
    Column("new", Integer, nullable=False),
    Column("already", Integer, nullable=False),
    Column("differs", Integer, nullable=False),
    UniqueConstraint("site_key", "digest"),
)
# struck : taken out by a correction; it stays so that it does not come in again
reading = Table(
    "reading",
    layout,
    _key(),
    _of("gauge"),
    Column("at_ms", BigInteger, nullable=False),
    Column("value", Double, nullable=False),
    Column("said", Text),
    _of("hand"),
    Column("note", Text),
    Column("written_ms", BigInteger),
    _of("brought", none=True),
    Column("struck", Boolean, nullable=False, server_default=false()),
    UniqueConstraint("gauge_key", "at_ms"),
)
# everything that is no reading, as a JSON text; digest : of that text, so that none comes twice
entry = Table(
    "entry",
    layout,
    _key(),
    _of("site"),
    Column("kind", Text, nullable=False),
    Column("at_ms", BigInteger, nullable=False),
    Column("says", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Column("written_ms", BigInteger),
    _of("brought", none=True),
    Column("struck", Boolean, nullable=False, server_default=false()),
    UniqueConstraint("site_key", "digest"),
    Index("ix_entry_kind", "site_key", "kind", "at_ms"),
)
# what stood before: of a reading its gauge, instant and value, of an entry its digest
correction = Table(
    "correction",
    layout,
    _key(),
    _of("reading", none=True),
    _of("entry", none=True),
    Column("was", Text, nullable=False),
    _of("gauge", none=True),
    Column("at_ms", BigInteger),
    Column("value", Double),
    Column("digest", Text),
    Column("why", Text, nullable=False),
    Column("who", Text, nullable=False),
    Column("made_ms", BigInteger),
    Index("ix_correction_gauge", "gauge_key", "at_ms"),
    Index("ix_correction_digest", "digest"),
)
# kept in the same transaction as the readings; day : days since 1970 in the site's zone
day_sum = Table(
    "day_sum",
    layout,
    Column("gauge_key", KEY, ForeignKey("gauge.key"), primary_key=True),
    Column("day", Integer, primary_key=True),
    Column("count", Integer, nullable=False),
    Column("first_at_utc", BigInteger),
    Column("first", Double),
    Column("last_at_utc", BigInteger),
    Column("last", Double),
    Column("early_count", Integer, nullable=False),
    Column("early_at_utc", BigInteger),
    Column("early", Double),
    Column("late_count", Integer, nullable=False),
    Column("late_at_utc", BigInteger),
    Column("late", Double),
    Column("total", Double),
    Column("falls", Integer, nullable=False),
    Column("least", Double),
    Column("most", Double),
    Column("roughness", Double),
)
# an alert that somebody was told of; mark : which
told = Table(
    "told",
    layout,
    Column("site_key", KEY, ForeignKey("site.key"), primary_key=True),
    Column("mark", Text, primary_key=True),
    Column("at_ms", BigInteger, nullable=False),
)
