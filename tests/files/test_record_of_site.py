"""The record that a site names: found, missing, or invented."""

from dataclasses import replace

import pytest

from eavewell.faults import BadSite
from eavewell.files.record import CLIMATE_YEARS, neighbour_of, record_of
from eavewell.site.rain import Rain

ROWS = "date,rain_mm\n2001-01-01,1.5\n2001-01-02,0\n2001-01-03,2.5\n"


@pytest.fixture
def site(making, tmp_path):
    def _site(rain):
        return replace(making.site(), rain=rain, folder=str(tmp_path))

    return _site


def write(folder, name):
    path = folder / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(ROWS, encoding="utf-8")


@pytest.mark.parametrize("name", ["rain.csv", "records/rain.csv"])
def test_a_record_is_read_from_the_site_folder(site, tmp_path, name):
    write(tmp_path, name)
    assert record_of(site(Rain(record=name))).rain_mm.tolist() == [1.5, 0.0, 2.5]


@pytest.mark.parametrize("name", ["records/USW00099999.csv", "USW00099999.csv"])
def test_a_station_is_looked_for_in_the_site_folder(site, tmp_path, name):
    write(tmp_path, name)
    assert record_of(site(Rain(station="USW00099999"))).days == 3


@pytest.mark.parametrize("station", ["USW00099999", "/etc/passwd", "../rain", "*", "["])
def test_a_station_that_is_not_there_is_a_sentence(site, tmp_path, station):
    write(tmp_path, "rain.csv")
    with pytest.raises(BadSite, match=r"no file of that station.*record = "):
        record_of(site(Rain(station=station)))


def test_a_record_that_is_not_there_is_a_sentence(site, tmp_path):
    with pytest.raises(BadSite, match=r"'no\.csv' is not there: looked for .*no\.csv"):
        record_of(site(Rain(record="no.csv")))
    with pytest.raises(BadSite, match="is no file but a folder"):
        record_of(site(Rain(record=".")))


def test_no_record_at_all_is_a_sentence(site):
    with pytest.raises(BadSite, match="names no record"):
        record_of(site(Rain()))


def test_an_invented_climate_says_so(site):
    record = record_of(site(Rain(climate="dry-uplands")))
    assert record.invented
    assert record.days == pytest.approx(CLIMATE_YEARS * 365.25, abs=1)


def test_a_neighbour_is_read_where_one_is_named(site, tmp_path):
    write(tmp_path, "beside.csv")
    assert neighbour_of(site(Rain(neighbour="beside.csv"))).days == 3
    assert neighbour_of(site(Rain())) is None
