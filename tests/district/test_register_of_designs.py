"""A register leaves out stages of which it tells nothing; the rest is that of whole designs."""

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from eavewell.design import design
from eavewell.district.shared_site import shared_site
from eavewell.files.record import beside_of, record_of
from eavewell.files.site.reader import read_site
from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.nothing_kept import log_if_any
from eavewell.logbook.reconciled.account import expected_of, months_of
from eavewell.logbook.store import open_log
from eavewell.logbook.upkeep.care import care_of
from eavewell.logbook.upkeep.service import due_of
from eavewell.logbook.upkeep.serviced import serviced
from eavewell.storage.series import uses_in_order

EXAMPLES = Path(__file__).parents[2] / "examples"
NOW = datetime(2027, 6, 1, 18, tzinfo=UTC)
DAYS = 60
EVERYTHING = ("service", "tests", "use", "money", "age", "supply")


def made(folder, example, agreed):
    """An invented site with one meter on all its uses and a log of sixty days."""
    shutil.copytree(EXAMPLES / example, folder)
    file = folder / "site.toml"
    uses = [use.name for use in uses_in_order(read_site(file))]
    listed = ", ".join(f'"{name}"' for name in uses)
    shared = ", ".join(f'"{name}"' for name in agreed)
    text = f"""
[log]
zone = "America/Chicago"
[[log.gauge]]
name = "counter"
measures = "meter"
how = "register"
unit = "L"
uses = [{listed}]
[log.share]
agreed = [{shared}]
"""
    file.write_text(file.read_text(encoding="utf-8") + text, encoding="utf-8")
    last = np.datetime64((NOW - timedelta(days=1)).replace(tzinfo=None), "ms")
    at_utc = last - np.arange(DAYS)[::-1] * 86_400_000
    with open_log(read_site(file)) as log:
        log.add([ManyReadings("counter", at_utc, 8.0 * np.arange(DAYS))], now=NOW)
    return folder


@pytest.mark.parametrize("example", ["barrels", "low-eaves"])
def test_money_water_and_service_are_those_of_the_whole_design(tmp_path, example):
    folder = made(tmp_path / "alder", example, EVERYTHING)
    site = read_site(folder / "site.toml")
    whole = design(site, record_of(site), beside=beside_of(site), today=NOW.date())
    found = shared_site(folder, now=NOW)
    assert found.says == ()
    assert found.money.yearly == whole.reckoned.life.yearly.typical
    assert found.money.modelled_l_year == whole.reckoned.water.used_l
    with log_if_any(site) as kept:
        assert found.service.due == due_of(serviced(care_of(whole), kept, now=NOW))
    wants_l = expected_of(whole).use_l_day.sum(axis=1)
    counted = np.isfinite(found.used.rain_day_l)
    # each day by its month, over the days that the meter counted
    expected_l = wants_l[months_of(found.used.dates) - 1][counted].sum()
    assert found.used.expected_l == pytest.approx(expected_l, rel=1e-12)
    assert found.used.metered_l == pytest.approx(8.0 * found.used.days)


@pytest.mark.parametrize("example", ["barrels", "low-eaves"])
def test_use_alone_is_told_as_beside_money(tmp_path, example):
    every = shared_site(made(tmp_path / "alder", example, EVERYTHING), now=NOW)
    alone = shared_site(made(tmp_path / "birch", example, ("use", "service")), now=NOW)
    assert alone.money is None
    assert alone.service == every.service
    for name in ("days", "metered_l", "expected_l", "rain_l", "rain_l_year", "every_use"):
        assert getattr(alone.used, name) == getattr(every.used, name)
