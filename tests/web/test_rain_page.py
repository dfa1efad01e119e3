"""A record brought in is read, kept beside the site and named in its file; a bad one is not."""

import io
import zipfile
from datetime import date, timedelta
from pathlib import Path

import tomlkit
from fastapi.testclient import TestClient


def _invented(years: int = 12) -> bytes:
    """Invented: 12 mm on every tenth day."""
    first = date(2010, 1, 1)
    days = (first + timedelta(days=row) for row in range(365 * years))
    rows = (f"{day},{12.0 if row % 10 == 0 else 0.0}" for row, day in enumerate(days))
    return ("date,rain_mm\n" + "\n".join(rows) + "\n").encode()


def test_the_days_are_those_of_the_answer(client: TestClient) -> None:
    answer = client.get("/sites/barrels.json").json()
    days = client.get("/sites/barrels/rain.json").json()
    first, last = date.fromisoformat(days["from"]), date.fromisoformat(days["to"])
    count = (last - first).days + 1
    assert len(days["rain_mm"]) == len(days["level_l"]) == count == answer["rain"]["days"]
    worst = answer["storage"]["worst_short"]
    (told, *_) = days["spells"]
    assert (told["from"], told["to"]) == (worst["from"], worst["to"])
    assert abs(told["missing_l"] - worst["missing_l"]) < 1e-6


def test_a_file_is_kept_and_named(client: TestClient, sites: Path) -> None:
    told = client.post(
        "/sites/barrels/rain/file",
        files={"file": ("our gauge.csv", _invented())},
        data={"unit": ""},
    )
    assert told.status_code == 204
    folder = sites / "barrels"
    said = tomlkit.parse((folder / "site.toml").read_text())["rain"]
    assert said["record"] == "records/our gauge.csv" and "climate" not in said
    assert (folder / "records" / "our gauge.csv").read_bytes() == _invented()
    # 12 mm on every tenth day: 365.25 / 10 x 12 mm a year, a day's rain either way
    mean_mm = client.get("/sites/barrels.json").json()["rain"]["mean_year_mm"]
    assert abs(mean_mm - 438.3) < 12.0


def test_a_record_is_looked_at_before_the_site_is_whole(client: TestClient, sites: Path) -> None:
    client.post("/sites", data={"name": "new-place", "like": "blank"})
    gauge = {"file": ("our gauge.csv", _invented())}
    client.post("/sites/new-place/rain/file", files=gauge, data={"unit": ""})
    page = client.get("/sites/new-place/rain").text
    # 12 years of 365 days from 1 Jan 2010, three of them leap years
    assert "1 Jan 2010 to 28 Dec 2021" in page and "Driest whole years" in page
    assert 'aria-label="Rain of each year through 12 years from 2010' in page
    assert 'id="days"' not in page and "Invented climate" not in page
    client.post("/sites/new-place/rain/climate", data={"climate": "green-lowlands"})
    assert "Invented climate" in client.get("/sites/new-place/rain").text
    for odd in ('climate = "moon"', "record = 3", 'record = "no.csv"', 'station = "X"', "unit = 3"):
        (sites / "new-place" / "site.toml").write_text(f"[rain]\n{odd}\n")
        assert client.get("/sites/new-place/rain").status_code == 200
    odd = '[rain]\nrecord = "records/our gauge.csv"\nunit = "furlongs"\n'
    (sites / "new-place" / "site.toml").write_text(odd)
    assert client.get("/sites/new-place/rain").status_code == 200


def test_what_is_no_record_is_refused_and_nothing_kept(client: TestClient, sites: Path) -> None:
    folder = sites / "barrels"
    before = (folder / "site.toml").read_bytes()
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as bundle:
        bundle.writestr("rain.csv", "date,rain_mm\n")
    for name, data in (
        ("packed.csv", packed.getvalue()),
        ("picture.csv", b"\x89PNG\r\n\x1a\n" + bytes(200)),
        ("words.csv", b"nothing of rain\n"),
        ("empty.csv", b""),
    ):
        told = client.post("/sites/barrels/rain/file", files={"file": (name, data)})
        assert told.status_code == 422, name
        assert "Traceback" not in told.text and len(told.text) > 20
    assert (folder / "site.toml").read_bytes() == before
    assert not any((folder / "records").glob("*.csv"))


def test_a_name_leads_nowhere_else(client: TestClient, sites: Path) -> None:
    files = {"file": ("../../outside.csv", _invented())}
    client.post("/sites/barrels/rain/file", files=files)
    assert not (sites / "outside.csv").exists() and not (sites.parent / "outside.csv").exists()


def test_another_record_of_the_same_name_is_not_written_over(
    client: TestClient, sites: Path
) -> None:
    for years, status in ((12, 204), (12, 204), (13, 422)):
        files = {"file": ("gauge.csv", _invented(years))}
        assert client.post("/sites/barrels/rain/file", files=files).status_code == status
    assert (sites / "barrels" / "records" / "gauge.csv").read_bytes() == _invented(12)


def test_an_invented_climate_takes_the_place_of_a_record(client: TestClient, sites: Path) -> None:
    client.post("/sites/barrels/rain/file", files={"file": ("gauge.csv", _invented())})
    assert client.post("/sites/barrels/rain/climate", data={"climate": "green-lowlands"})
    said = tomlkit.parse((sites / "barrels" / "site.toml").read_text())["rain"]
    assert said["climate"] == "green-lowlands" and "record" not in said
