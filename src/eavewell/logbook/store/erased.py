"""All of a site's log erased, as its household may ask: nothing of it is kept."""

import sqlalchemy as sa

from eavewell.logbook.store.layout import (
    brought,
    correction,
    day_sum,
    entry,
    gauge,
    hand,
    reading,
    site,
    told,
)
from eavewell.logbook.store.written import Log


def erase(log: Log) -> None:
    """Take out everything of the site, and names of people that no other site has."""
    gauges = sa.select(gauge.c.key).where(gauge.c.site_key == log.site_key)
    readings = sa.select(reading.c.key).where(reading.c.gauge_key.in_(gauges))
    entries = sa.select(entry.c.key).where(entry.c.site_key == log.site_key)
    for gone in (
        sa.delete(correction).where(
            correction.c.reading_key.in_(readings) | correction.c.entry_key.in_(entries)
        ),
        sa.delete(day_sum).where(day_sum.c.gauge_key.in_(gauges)),
        sa.delete(reading).where(reading.c.gauge_key.in_(gauges)),
        sa.delete(entry).where(entry.c.site_key == log.site_key),
        sa.delete(brought).where(brought.c.site_key == log.site_key),
        sa.delete(told).where(told.c.site_key == log.site_key),
        sa.delete(gauge).where(gauge.c.site_key == log.site_key),
        sa.delete(site).where(site.c.key == log.site_key),
        sa.delete(hand).where(~sa.exists().where(reading.c.hand_key == hand.c.key)),
    ):
        log.connection.execute(gone)


def overwrite(engine: sa.Engine) -> None:
    """Leave no erased row readable in the file."""
    if engine.dialect.name != "sqlite":
        return
    plain = engine.raw_connection()
    try:
        plain.cursor().execute("VACUUM")
        plain.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
    finally:
        plain.close()
