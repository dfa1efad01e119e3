"""A register whose sites keep their logs in an office's database; everything invented."""

import shutil
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest

from eavewell.district.register import read_register
from eavewell.district.register_answer import register_answer
from eavewell.files.site.reader import read_site
from eavewell.logbook.store import open_log
from eavewell.site.entry import Done, Reading

BARRELS = Path(__file__).parents[2] / "examples" / "barrels"
NOW = datetime(2027, 6, 1, 18, tzinfo=UTC)
NUMBERS = count(1)


@pytest.fixture
def kept(postgres):
    return postgres.database(f"register{next(NUMBERS)}")


def add(folder, name, *, kept_in, last):
    one = folder / name
    shutil.copytree(BARRELS, one)
    log = f'kept_in = "{kept_in}#{name}"\n' if kept_in else ""
    text = (one / "site.toml").read_text(encoding="utf-8")
    text += f'\n[log]\nzone = "America/Chicago"\n{log}[log.share]\nagreed = ["service"]\n'
    (one / "site.toml").write_text(text, encoding="utf-8")
    at = NOW - timedelta(days=last)
    with open_log(read_site(one / "site.toml")) as store:
        store.add([Reading("barrels", at, 0.5), Done("clean the screens", at)], now=NOW)


def told(folder):
    answer = register_answer(read_register(folder, now=NOW))
    return {key: one for key, one in answer.items() if key != "name"}


def test_many_sites_in_one_database_read_as_from_files(tmp_path, kept):
    for place, kept_in in (("files", ""), ("office", kept)):
        (tmp_path / place).mkdir()
        for name, last in (("alder", 1), ("birch", 90), ("cedar", 10)):
            add(tmp_path / place, name, kept_in=kept_in, last=last)
    office = told(tmp_path / "office")
    assert office == told(tmp_path / "files")
    assert [one["last_reading"] for one in office["sites"]] == [
        "2027-05-31",
        "2027-03-03",
        "2027-05-22",
    ]


def test_a_database_out_of_reach_is_one_site_that_cannot_be_read(tmp_path, kept, monkeypatch):
    add(tmp_path, "alder", kept_in="", last=1)
    add(tmp_path, "birch", kept_in=kept, last=1)
    monkeypatch.delenv("EAVEWELL_LOG_SERVER")
    sites = {one["site"]: one for one in told(tmp_path)["sites"]}
    assert sites["alder"]["status"] == "working"
    assert sites["birch"]["status"] == "not readable"
    assert "EAVEWELL_LOG_SERVER" in sites["birch"]["says"][0]
