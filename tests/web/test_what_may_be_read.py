"""Sites read plain files alone, and while they are shared none from outside their folder."""

import os
from functools import partial
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from eavewell.faults import EavewellFault
from eavewell.files.plain_file import may_be_read, plain_bytes, reading_within
from eavewell.files.price_book import price_book
from eavewell.files.rain.readers import read_rain
from eavewell.files.rain.storm_table import read_storm_table
from eavewell.files.site.reader import text_of
from eavewell.files.underlay import underlay_in
from eavewell.web.app import pages
from eavewell.web.sign_in import COOKIE, Keys

RAIN = 'climate = "dry-uplands"'
WEEK = "date,rain_mm\n" + "".join(f"2001-01-{day:02},1\n" for day in range(1, 32))
NAMED = {
    "record": (RAIN, "record = {}"),
    "neighbour": (RAIN, f"{RAIN}\nneighbour = {{}}"),
    "table": ("[goal]", "[storm]\ntable = {}\n[goal]"),
    "donor": ("[goal]", "[storm]\ndonor = {}\n[goal]"),
    "authority": ("[goal]", "[rules]\nauthority = {}\n[goal]"),
    "prices": ("[goal]", "[money]\nprices = {}\n[goal]"),
}


@pytest.fixture
def shared(sites: Path, tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    keys = Keys(tmp_path_factory.mktemp("state"))
    app = pages(sites, mark="ours", keys=keys)
    client = TestClient(app, base_url="http://127.0.0.1", headers={"x-eavewell-mark": "ours"})
    client.cookies.set(COOKIE, keys.cookie())
    return client


@pytest.fixture
def outside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file beside the folder of sites."""
    file = tmp_path_factory.mktemp("outside") / "secret.csv"
    file.write_text(WEEK)
    return file


def _name(sites: Path, field: str, *, file: str) -> None:
    here, there = NAMED[field]
    site = sites / "barrels" / "site.toml"
    text = site.read_text()
    assert here in text
    site.write_text(text.replace(here, there.format(f"'{file}'"), 1))


@pytest.mark.parametrize("field", NAMED)
def test_what_lies_outside_is_refused_while_shared(
    shared: TestClient, sites: Path, outside: Path, *, field: str
) -> None:
    _name(sites, field, file=str(outside))
    told = shared.get("/sites/barrels.json")
    assert told.status_code == 422
    (says,) = told.json()["says"]
    assert "outside the folder of sites" in says and "Put a copy" in says


@pytest.mark.parametrize("way", ["../../{}/secret.csv", "link.csv", "station"])
def test_no_way_leads_out(shared: TestClient, sites: Path, outside: Path, *, way: str) -> None:
    site = sites / "barrels" / "site.toml"
    if way.endswith("secret.csv"):
        _name(sites, "record", file=os.path.relpath(outside, sites / "barrels"))
    elif way == "link.csv":
        (sites / "barrels" / way).symlink_to(outside)
        _name(sites, "record", file=way)
    else:
        (sites / "barrels" / "QUAIL1.csv").symlink_to(outside)
        site.write_text(site.read_text().replace(RAIN, 'station = "QUAIL1"'))
    for path in ("barrels.json", "barrels/rain.json", "barrels/papers.json"):
        assert "outside the folder" in shared.get(f"/sites/{path}").json()["says"][0]


def test_whether_it_is_there_is_not_told(shared: TestClient, sites: Path) -> None:
    _name(sites, "record", file="/no/such/place.csv")
    assert "outside the folder" in shared.get("/sites/barrels.json").json()["says"][0]


def test_what_lies_in_the_folder_is_read_while_shared(shared: TestClient, sites: Path) -> None:
    (sites / "rain").mkdir()
    (sites / "rain" / "week.csv").write_text(WEEK)
    _name(sites, "record", file="../rain/week.csv")
    told = shared.get("/sites/barrels.json")
    assert told.status_code == 200 or "outside" not in str(told.json()["says"])


def test_alone_the_owner_reads_what_is_named(
    client: TestClient, sites: Path, outside: Path
) -> None:
    _name(sites, "record", file=str(outside))
    told = client.get("/sites/barrels.json")
    assert told.status_code == 200 or "outside" not in str(told.json()["says"])


def test_a_picture_is_no_link_to_elsewhere(shared: TestClient, sites: Path, outside: Path) -> None:
    plan = sites / "barrels" / "plan"
    plan.mkdir()
    for name in ("underlay.png", "underlay.toml"):
        (plan / name).symlink_to(outside)
        assert shared.get("/sites/barrels/trace/underlay.png").status_code == 422
        assert shared.get("/sites/barrels/trace.json").status_code == 422
        (plan / name).unlink()


@pytest.mark.parametrize("field", NAMED)
@pytest.mark.parametrize("file", ["/dev/zero", "pipe", "."])
def test_a_pipe_or_a_device_is_refused_at_once(
    client: TestClient, sites: Path, *, field: str, file: str
) -> None:
    os.mkfifo(sites / "barrels" / "pipe")
    _name(sites, field, file=file)
    told = client.get("/sites/barrels.json")
    assert told.status_code == 422
    assert "is no file but a folder, a pipe or a device" in told.json()["says"][0]


def test_no_reader_opens_a_pipe(tmp_path: Path) -> None:
    pipe = tmp_path / "underlay.toml"
    os.mkfifo(pipe)
    prices = partial(price_book, currency="USD")
    for reads in (read_rain, read_storm_table, prices, text_of):
        with pytest.raises(EavewellFault):
            reads(pipe)  # type: ignore[operator]
    assert underlay_in(tmp_path) is None


def test_so_many_bytes_at_most(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"seven")
    assert plain_bytes(tmp_path / "file") == b"seven"
    assert plain_bytes(tmp_path / "file", 3) == b"sev"
    with pytest.raises(FileNotFoundError):
        plain_bytes(tmp_path / "none")


def test_within_lasts_as_long_as_it_is_asked_for(tmp_path: Path) -> None:
    with reading_within(tmp_path / "sites"):
        assert may_be_read(tmp_path / "sites" / "a" / ".." / "b")
        assert not may_be_read(tmp_path / "sites" / ".." / "b")
        assert not may_be_read(Path("\0"))
    assert may_be_read(tmp_path / "b")
