"""The first layout: readings, other entries, corrections, files brought in, day sums, alerts."""

import sqlalchemy as sa
from alembic import op
from sqlalchemy import BigInteger, Boolean, Double, Integer, Text

revision = "v1"
down_revision = None
branch_labels = None
depends_on = None

_KEY = BigInteger().with_variant(Integer, "sqlite")


def upgrade() -> None:
    """Make every table."""
    _sites()
    _readings()
    _entries()
    _corrections()
    _day_sums()


def _key() -> sa.Column[int]:
    return sa.Column("key", _KEY, nullable=False)


def _of(table: str, *, none: bool = False) -> sa.Column[int]:
    return sa.Column(f"{table}_key", _KEY, nullable=none)


def _whole(table: str, *others: str) -> list[sa.Constraint]:
    """The key of a table, and what it refers to."""
    refers: list[sa.Constraint] = [
        sa.ForeignKeyConstraint([f"{one}_key"], [f"{one}.key"], name=f"fk_{table}_{one}_key")
        for one in others
    ]
    return [sa.PrimaryKeyConstraint("key", name=f"pk_{table}"), *refers]


def _sites() -> None:
    op.create_table(
        "site",
        _key(),
        sa.Column("name", Text, nullable=False),
        sa.Column("zone", Text, nullable=False),
        *_whole("site"),
        sa.UniqueConstraint("name", name="uq_site_name"),
    )
    op.create_table(
        "gauge",
        _key(),
        _of("site"),
        sa.Column("name", Text, nullable=False),
        *_whole("gauge", "site"),
        sa.UniqueConstraint("site_key", "name", name="uq_gauge_site_key"),
    )
    op.create_table(
        "hand",
        _key(),
        *(sa.Column(name, Text, nullable=False) for name in ("zone", "who", "how")),
        *_whole("hand"),
        sa.UniqueConstraint("zone", "who", "how", name="uq_hand_zone"),
    )
    op.create_table(
        "brought",
        _key(),
        _of("site"),
        *(sa.Column(name, Text, nullable=False) for name in ("digest", "name", "who")),
        sa.Column("at_ms", BigInteger),
        *(sa.Column(name, Integer, nullable=False) for name in ("new", "already", "differs")),
        *_whole("brought", "site"),
        sa.UniqueConstraint("site_key", "digest", name="uq_brought_site_key"),
    )


def _readings() -> None:
    op.create_table(
        "reading",
        _key(),
        _of("gauge"),
        sa.Column("at_ms", BigInteger, nullable=False),
        sa.Column("value", Double, nullable=False),
        sa.Column("said", Text),
        _of("hand"),
        sa.Column("note", Text),
        sa.Column("written_ms", BigInteger),
        _of("brought", none=True),
        sa.Column("struck", Boolean, nullable=False, server_default=sa.false()),
        *_whole("reading", "gauge", "hand", "brought"),
        sa.UniqueConstraint("gauge_key", "at_ms", name="uq_reading_gauge_key"),
    )


def _entries() -> None:
    op.create_table(
        "entry",
        _key(),
        _of("site"),
        sa.Column("kind", Text, nullable=False),
        sa.Column("at_ms", BigInteger, nullable=False),
        sa.Column("says", Text, nullable=False),
        sa.Column("digest", Text, nullable=False),
        sa.Column("written_ms", BigInteger),
        _of("brought", none=True),
        sa.Column("struck", Boolean, nullable=False, server_default=sa.false()),
        *_whole("entry", "site", "brought"),
        sa.UniqueConstraint("site_key", "digest", name="uq_entry_site_key"),
    )
    op.create_index("ix_entry_kind", "entry", ["site_key", "kind", "at_ms"])
    op.create_table(
        "told",
        _of("site"),
        sa.Column("mark", Text, nullable=False),
        sa.Column("at_ms", BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("site_key", "mark", name="pk_told"),
        sa.ForeignKeyConstraint(["site_key"], ["site.key"], name="fk_told_site_key"),
    )


def _corrections() -> None:
    op.create_table(
        "correction",
        _key(),
        _of("reading", none=True),
        _of("entry", none=True),
        sa.Column("was", Text, nullable=False),
        _of("gauge", none=True),
        sa.Column("at_ms", BigInteger),
        sa.Column("value", Double),
        sa.Column("digest", Text),
        *(sa.Column(name, Text, nullable=False) for name in ("why", "who")),
        sa.Column("made_ms", BigInteger),
        *_whole("correction", "reading", "entry", "gauge"),
    )
    op.create_index("ix_correction_gauge", "correction", ["gauge_key", "at_ms"])
    op.create_index("ix_correction_digest", "correction", ["digest"])


def _day_sums() -> None:
    counts = ("count", "early_count", "late_count", "falls")
    instants = ("first_at_utc", "last_at_utc", "early_at_utc", "late_at_utc")
    figures = ("first", "last", "early", "late", "total", "least", "most", "roughness")
    op.create_table(
        "day_sum",
        _of("gauge"),
        sa.Column("day", Integer, nullable=False),
        *(sa.Column(name, Integer, nullable=False) for name in counts),
        *(sa.Column(name, BigInteger) for name in instants),
        *(sa.Column(name, Double) for name in figures),
        sa.PrimaryKeyConstraint("gauge_key", "day", name="pk_day_sum"),
        sa.ForeignKeyConstraint(["gauge_key"], ["gauge.key"], name="fk_day_sum_gauge_key"),
    )
