"""Each roof has the nearest gauge, by another formula; lists of gauges and their faults."""

import math
import shutil

import numpy as np
import pytest
from tests.district.made_district import records

from eavewell.district.gauges import assign, gauges_of, is_grid, record_at
from eavewell.district.roof_rows import Roofs
from eavewell.faults import BadRoofs
from eavewell.site.district import Gauge


def roofs_at(latitude, longitude, elevation_m=None):
    count = len(latitude)
    high = np.full(count, np.nan) if elevation_m is None else np.array(elevation_m, dtype=float)
    words = np.array(["x"] * count, dtype=object)
    ones = np.ones(count)
    row = np.arange(1, count + 1)
    return Roofs(
        row, words, np.array(latitude), np.array(longitude), high, ones, words, words, ones, words
    )


def away_km(one, other):
    """By the spherical law of cosines, on the sphere of 6371 km."""
    a, b = (math.radians(place[0]) for place in (one, other))
    turn = math.radians(one[1] - other[1])
    cosine = math.sin(a) * math.sin(b) + math.cos(a) * math.cos(b) * math.cos(turn)
    return 6371.0 * math.acos(min(1.0, cosine))


def test_the_nearest_gauge_by_the_law_of_cosines():
    draw = np.random.default_rng(5)
    places = np.column_stack([draw.uniform(-89, 89, 60), draw.uniform(-180, 180, 60)])
    gauges = tuple(Gauge(f"g{k}", "", *map(float, place)) for k, place in enumerate(places))
    at = np.column_stack([draw.uniform(-90, 90, 500), draw.uniform(-180, 180, 500)])
    found, bad = assign(roofs_at(at[:, 0], at[:, 1]), gauges, within_km=3e4)
    assert bad == ()
    for row, place in enumerate(at):
        ways = [away_km(place, other) for other in places]
        assert found.gauge[row] == int(np.argmin(ways))
        assert found.distance_km[row] == pytest.approx(min(ways), abs=1e-3)


def test_a_roof_too_far_from_every_gauge_is_a_bad_row_and_heights_are_told():
    gauges = (Gauge("low", "", 30.0, -97.0, 100.0), Gauge("bare", "", 31.0, -97.0))
    roofs = roofs_at([30.01, 30.5, 31.01], [-97.0] * 3, [250.0, 1.0, 1.0])
    found, bad = assign(roofs, gauges, within_km=20.0)
    assert found.gauge.tolist() == [0, 1]
    assert found.height_m[0] == 150.0
    assert math.isnan(found.height_m[1])
    assert [one.row for one in bad] == [2]
    assert "is 34.5 mi away" in bad[0].reason


def test_a_list_of_gauges(tmp_path):
    gauges = gauges_of(records(tmp_path))
    assert [one.name for one in gauges] == ["Q0", "Q1", "Q2"]
    assert gauges[1].elevation_m == pytest.approx(901 * 0.3048)
    record = record_at(gauges[1])
    assert (record.name, record.latitude, record.elevation_m) == (
        "Q1",
        30.6,
        gauges[1].elevation_m,
    )


def test_a_list_names_files_by_their_start_and_heights_with_a_unit(tmp_path):
    folder = records(tmp_path)
    text = "station;lat;lon;elevation\ngreen;30;-97;1,200 ft\ndry-uplands;31;-97;\n"
    (folder / "stations.csv").write_text(text)
    gauges = gauges_of(folder)
    assert [one.elevation_m for one in gauges] == [pytest.approx(1200 * 0.3048), None]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no row"),
        ("file,latitude,longitude\nnone.csv,30,-97\n", "there is no record 'none.csv'"),
        ("latitude,longitude\n30,-97\n", "name the file"),
        ("file,latitude,longitude\ngreen,north,-97\n", "latitude 'north'"),
        ("file,latitude,longitude\ngreen,30,-197\n", "longitude '-197'"),
        ("file,latitude,longitude,elevation\ngreen,30,-97,12\n", "elevation: "),
        (
            "file,latitude,longitude,elevation_ft\ngreen,30,-97,123456\n",
            "row 1: elevation '123456 ft' is no place for a gauge",
        ),
        ("file,latitude,longitude,elevation_m\ngreen,30,-97,-9999\n", "'-9999 m' is no place"),
        ("station,latitude,longitude\ngreen,30,-97\ngreen,30,-97\n", "'green' is listed twice"),
    ],
)
def test_faults_of_a_list(tmp_path, text, says):
    folder = records(tmp_path)
    (folder / "stations.csv").write_text(text)
    with pytest.raises(BadRoofs, match=says):
        gauges_of(folder)


def test_without_a_list_records_that_tell_no_place_are_refused(tmp_path):
    folder = records(tmp_path / "records")
    (folder / "stations.csv").unlink()
    with pytest.raises(BadRoofs, match=r"list them in stations\.csv"):
        gauges_of(folder)
    shutil.rmtree(folder)
    with pytest.raises(BadRoofs, match="no folder of records"):
        gauges_of(folder)
    assert not is_grid(folder)


def test_a_far_roof_is_told_what_would_bring_it_near():
    gauges = (Gauge("hill", "", 30.5, -80.0, None),)
    places = [(30.5, -80.0), (-80.0, 30.5), (30.5, 80.0), (10.0, 10.0)]
    latitude, longitude = (np.array(one) for one in zip(*places, strict=True))
    words, figures = np.array(["x"] * 4, dtype=object), np.zeros(4)
    roofs = Roofs(
        np.arange(1, 5), words, latitude, longitude, figures, figures, words, words, figures, words
    )
    found, bad = assign(roofs, gauges, within_km=20.0)
    assert found.roofs.count == 1
    said = [one.reason.partition(" away")[2] for one in bad]
    assert said == [
        "; are latitude and longitude the wrong way round?",
        "; is the sign of the longitude right?",
        "",
    ]
