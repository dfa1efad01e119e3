"""Whether a file begins with invented rain is told from its first days."""

import gzip

from eavewell.files.rain.plain_csv import begins_invented
from eavewell.files.rain.written import write_rain
from eavewell.weather.climates import climate_record


def test_what_we_made_up_says_so_packed_or_not(tmp_path):
    made = write_rain(climate_record("dry-uplands", 2), tmp_path / "hill.csv")
    packed = tmp_path / "hill.csv.gz"
    packed.write_bytes(gzip.compress(made.read_bytes()))
    assert begins_invented(made) and begins_invented(packed)


def test_what_was_measured_or_cannot_be_read_does_not(tmp_path):
    measured = tmp_path / "reinvented.csv"
    measured.write_text("date,rain_mm,mark\n2020-01-01,0.0,\n2020-01-02,1.2,reinvented\n")
    cut = tmp_path / "cut.csv.gz"
    cut.write_bytes(b"\x1f\x8b\x08cut off")
    for one in (measured, cut, tmp_path / "none.csv", tmp_path):
        assert not begins_invented(one)
