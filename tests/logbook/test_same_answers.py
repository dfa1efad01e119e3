"""A file and an office's database, written alike, tell the same to the last bit."""

from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.store import open_log
from eavewell.site.entry import Load, Note, Reading
from eavewell.site.gauge import Gauge
from eavewell.site.tank_shape import UprightCylinder

BEGIN, DAYS = np.datetime64("2026-10-20T00:00", "ms"), 40
GAUGES = (
    Gauge("tank", "level", of="tank", how="pressure sensor"),
    Gauge("meter", "meter", how="register"),
    Gauge("rain", "rain", how="rain gauge"),
)


@pytest.fixture
def two(making, postgres, logged_site):
    """The same site with its log in a file, and in a database."""
    tank = making.tank(shape=UprightCylinder(2.0, 2.5))

    def made(kept_in):
        site = logged_site(kept_in, gauges=GAUGES)
        return replace(site, tanks=(tank,))

    return made(""), made(postgres.database("same"))


def written(store):
    """Forty days over the end of summer time: invented, with gaps, doubles and corrections."""
    rng = np.random.default_rng(20261020)
    at = BEGIN + np.arange(DAYS * 96) * np.timedelta64(15, "m")
    known = rng.random(at.size) > 0.02
    level = 1.6 - 0.01 * np.arange(at.size) / 96.0 + rng.normal(0.0, 0.004, at.size)
    meter = np.cumsum(rng.gamma(0.5, 8.0, at.size))
    rain = np.where(rng.random(at.size) < 0.01, rng.gamma(0.7, 3.0, at.size), 0.0)
    columns = {"tank": level, "meter": meter, "rain": rain}
    many = [
        ManyReadings(name, at[known], value[known], zone="America/Chicago", how="logger")
        for name, value in columns.items()
    ]
    noon = datetime(2026, 11, 10, 18, 0, 0, 123_000, tzinfo=UTC)
    store.add(many, now=noon)
    store.add([*many, Load("tank", None, noon, 1500.0, who="Kay"), Note(noon, "ein Frosch")])
    store.add([Reading("tank", noon + timedelta(minutes=n), 0.1 * n) for n in (3, 1, 2)])
    some = store.readings("tank").keys[100:103].tolist()
    store.strike("reading", some[0], why="a wave")
    moved = store.entry("reading", some[1])
    store.correct(some[1], replace(moved, value=1.0 / 3.0), why="read anew", now=noon)


def test_what_was_written_alike_is_told_alike(two):
    told = []
    for site in two:
        with open_log(site) as store:
            written(store)
            until = datetime(2026, 12, 1, tzinfo=UTC)
            told.append(
                {
                    "readings": {one.name: store.readings(one.name) for one in GAUGES},
                    "sums": {one.name: store.day_sums(one.name) for one in GAUGES},
                    "daily": {"all": daily_log(site, store, until=until)},
                    "entries": [
                        [one for _, one in store.entries(kind)]
                        for kind in ("reading", "load", "note")
                    ],
                    "last": store.last("meter"),
                }
            )
    file, office = told
    assert file["entries"] == office["entries"]
    assert file["last"] == office["last"]
    for what in ("readings", "sums", "daily"):
        for name, one in file[what].items():
            _same(one, office[what][name])


def _same(one, other):
    for name in (field.name for field in fields(one)):
        if name != "keys":
            ours, theirs = getattr(one, name), getattr(other, name)
            np.testing.assert_array_equal(ours, theirs, err_msg=name)
