"""A site's own log against its site file, and for leaks: opened, worked out and answered."""

from dataclasses import replace
from datetime import datetime, timedelta

from eavewell.design import Design
from eavewell.logbook.ahead.from_log import day_of
from eavewell.logbook.checked_answers import Plain, leaks_answer, reconciled_answer
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.entries.renamed import gone, with_gone
from eavewell.logbook.kept import Kept
from eavewell.logbook.leaks.leaks import Leaks, leak_test_on
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.reconciled.account import Expected, expected_of, expected_on
from eavewell.logbook.reconciled.reconcile import reconcile_groups
from eavewell.logbook.store import open_log
from eavewell.site.beside import Beside
from eavewell.site.rain_record import RainRecord
from eavewell.site.site import Site
from eavewell.storage.series import series
from eavewell.tables import table
from eavewell.weather.ready import ready_days, ready_rain


def reconciled_answered(site: Site, record: RainRecord, *, beside: Beside, now: datetime) -> Plain:
    """The log up to `now`, with its offset, against the site file.

    Raises BadLog, BadSite or BadRecord in sentences.
    """
    expected = _expected(site, record, beside=beside, now=now)
    with open_log(site, make=False) as kept, with_gone(site, kept):
        found = reconcile_groups(site, _log(site, kept, now=now), expected=expected)
    return reconciled_answer(site, found, day=day_of(site, now))


def leaks_answered(site: Site, record: RainRecord, *, beside: Beside, now: datetime) -> Plain:
    """The leak tests of the log up to `now`, with its offset.

    Raises BadLog, BadSite or BadRecord in sentences.
    """
    expected = _expected(site, record, beside=beside, now=now)
    with open_log(site, make=False) as kept:
        found = _leaks(site, kept, expected=expected, now=now)
    return leaks_answer(site, found, day=day_of(site, now))


def reconciled_of(made: Design, kept: Kept, *, now: datetime) -> Plain:
    """The same of a design and a log that are there already."""
    log = _log(made.site, kept, now=now)
    found = reconcile_groups(made.site, log, expected=expected_of(made))
    return reconciled_answer(made.site, found, day=day_of(made.site, now))


def leaks_of(made: Design, kept: Kept, *, now: datetime) -> Leaks:
    """The leak tests of a design and a log that are there already."""
    return _leaks(made.site, kept, expected=expected_of(made), now=now)


def _leaks(site: Site, kept: Kept, *, expected: Expected, now: datetime) -> Leaks:
    found = leak_test_on(site, _log(site, kept, now=now), expected=expected, kept=kept)
    return replace(found, refused=(*found.refused, *(one.words for one in gone(site, kept))))


def _expected(site: Site, record: RainRecord, *, beside: Beside, now: datetime) -> Expected:
    rain = ready_rain(
        record,
        site.rain,
        place=site.place,
        neighbour=beside.neighbour,
        today=day_of(site, now),
    )
    days = ready_days(rain.record, site.place).days
    return expected_on(series(site, days), days)


def _log(site: Site, kept: Kept, *, now: datetime) -> DailyLog:
    back = timedelta(days=table("reconcile")["looked back on"].value)
    # what is read at this very moment counts
    return daily_log(site, kept, until=now + timedelta(milliseconds=1), since=now - back)
