"""Tables of roofs as people have them: marks, separators, units, and rows that cannot be."""

import csv
import json
import random

import polars as pl
import pytest
from tests.district.made_district import SETTINGS, folder_of

from eavewell.district.reasons import counted_reasons, plain_reason
from eavewell.district.roof_rows import read_roofs
from eavewell.district.run import Hands, Sources, screen_district
from eavewell.district.settings import district_of_text
from eavewell.faults import BadRoofs

HEAD = "id,latitude,longitude,area_ft2,finish,people\n"
DISTRICT = district_of_text(SETTINGS)
FT2 = 0.09290304  # m2, exact


def read(tmp_path, text, *, name="roofs.csv", district=DISTRICT):
    file = tmp_path / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_roofs(file, district)


def reasons(found):
    return {one.row: one.reason for one in found.bad}


def test_a_plain_table(tmp_path):
    found = read(tmp_path, HEAD + "a,30.5,-97.5,1000,metal,3\nb,30.6,-97.4,2000,slate,2\n")
    assert found.roofs.area_m2 == pytest.approx([1000 * FT2, 2000 * FT2])
    assert list(found.roofs.id) == ["a", "b"]
    assert list(found.roofs.use_set) == ["household"] * 2
    assert (found.rows, found.bad, found.aside) == (2, (), ())


@pytest.mark.parametrize(
    ("head", "cell", "area_m2"),
    [
        ("area_m2", "139.5", 139.5),
        ("Area (m2)", "139.5", 139.5),
        ("Plan Area [ft2]", "1000", 1000 * FT2),
        ("AREA-SQFT", '"1,000"', 1000 * FT2),
        ("area", "1000 ft2", 1000 * FT2),
        ("area", "40 ft x 25 ft", 1000 * FT2),
        ("plan_area", "0.5 acre", 0.5 * 43560 * FT2),
    ],
)
def test_areas_in_any_unit(tmp_path, head, cell, area_m2):
    text = f"id,lat,lon,{head},finish,people\na,30.5,-97.5,{cell},metal,3\n"
    assert read(tmp_path, text).roofs.area_m2 == pytest.approx([area_m2], rel=1e-12)


def test_a_byte_order_mark_semicolons_and_old_letters(tmp_path):
    text = "\ufeff" + HEAD.replace(",", ";") + "Ölmühle;30.5;-97.5;1000;Metal;3\n\n"
    assert list(read(tmp_path, text).roofs.id) == ["Ölmühle"]
    western = (HEAD.replace(",", "\t") + "Ölmühle\t30.5\t-97.5\t1000\tmetal\t3\r\n").encode(
        "cp1252"
    )
    assert list(read(tmp_path, western).roofs.id) == ["Ölmühle"]


def test_a_decimal_comma_is_never_a_thousand(tmp_path):
    semicolons = HEAD.replace(",", ";")
    found = read(tmp_path, semicolons + "a;30,512;-97,5;1500,5;metal;2,5\n")
    roofs = found.roofs
    assert (roofs.latitude[0], roofs.longitude[0], roofs.people[0]) == (30.512, -97.5, 2.5)
    assert roofs.area_m2[0] == pytest.approx(1500.5 * 0.3048**2)
    found = read(tmp_path, semicolons + "a;30.5;-97.5;1,500;metal;3\n")
    assert reasons(found) == {
        1: "area '1,500' may be a decimal or thousands: write it without a comma"
    }


def test_a_decimal_comma_before_the_unit_of_a_value(tmp_path):
    head = HEAD.replace("_ft2", "").replace(",", ";")
    rows = "a;30,5;-97,5;139,4 m2;metal;3\nb;30,5;-97,5;1,500 ft2;metal;3\n"
    found = read(tmp_path, head + rows)
    assert found.roofs.area_m2.tolist() == [139.4]
    assert reasons(found) == {
        2: "area '1,500' may be a decimal or thousands: write it without a comma"
    }
    commas = HEAD.replace("_ft2", "") + 'a,30.5,-97.5,"1,500 ft2",metal,3\n'
    assert read(tmp_path, commas).roofs.area_m2[0] == pytest.approx(1500 * 0.3048**2)


def test_a_quotation_mark_that_is_not_closed_is_told_with_the_lines_it_took(tmp_path):
    rows = "a,30.5,-97.5,1000,metal,3\n" * 3
    found = read(tmp_path, HEAD + 'z,30.5,-97.5,1000,metal,3\n"b\n' + rows)
    assert reasons(found) == {
        2: "a quotation mark is opened and not closed: 5 lines are lost in one cell"
    }
    assert "\n" not in found.bad[0].id and len(found.bad[0].id) < 50
    found = read(tmp_path, HEAD + '"b\nsecond line",30.5,-97.5,1000,metal,3\n')
    assert list(found.roofs.id) == ["b\nsecond line"]


def test_utf_16_as_spreadsheets_write_it(tmp_path):
    text = HEAD.replace(",", "\t") + "\u00d6l\t30.5\t-97.5\t1000\tmetal\t3\r\n"
    assert list(read(tmp_path, text.encode("utf-16")).roofs.id) == ["\u00d6l"]


def test_what_stood_in_a_cell_is_in_no_counted_reason(tmp_path):
    """Quotation marks and colons in the cell itself hide nothing of it behind them."""
    cells = ("Mrs O'Brien: 12 Hill Rd", 'it\'s "12"', "metal'; x 'y", "12 Hill: Rd")
    text = "".join(
        f"r{at},30.5,-97.5,1000," + '"' + cell.replace('"', '""') + '",3\n'
        for at, cell in enumerate(cells)
    )
    found = read(tmp_path, HEAD + text)
    assert len(found.bad) == len(cells)
    assert counted_reasons(one.reason for one in found.bad) == [("finish is not known", 4)]


def test_every_bad_row_has_its_reason_and_the_rest_is_read(tmp_path):
    rows = [
        ("a,30.5,-97.5,1000,metal,3", ""),
        ("b,30.5,-97.5,-20,metal,3", "area '-20' is below nothing"),
        ("c,30.5,-97.5,0,metal,3", "area '0' is that of no roof: 0 ft2"),
        ("d,30.5,-97.5,1000,gold,3", "finish 'gold' is not known: it must be"),
        ("e,95,-97.5,1000,metal,3", "latitude is not on the globe: 95 is beyond 90"),
        ("f,30.5,-197.5,1000,metal,3", "longitude is not on the globe: -197.5 is beyond 180"),
        ("a,30.5,-97.5,1000,metal,3", "the id stands in an earlier row: 1"),
        (",30.5,-97.5,1000,metal,3", "the row has no id"),
        ("g,,-97.5,1000,metal,3", "the latitude is missing"),
        ("h,30.5,-97.5,,metal,3", "the area is missing"),
        ("i,30.5,-97.5,1000,,3", "the finish is unknown"),
        ("j,30.5,-97.5,1000,metal,", "the number of people is missing"),
        ("k,30.5,-97.5,1000,metal,0", "nobody draws water: people 0"),
        ("l,30.5,-97.5,1000,metal,-1", "so many people cannot be: -1"),
        ("m,30.5,-97.5,large,metal,3", "area 'large' is not a number: write it such as 12.5"),
        ("n,30.5,-97.5,nan,metal,3", "area 'nan' is not a number: write it such as 12.5"),
        ("o,30.5,-97.5,1000,clay tiles,3", "finish 'clay tiles' is not known: did you mean"),
        ("p,30.5,-97.5,1000,metal,3,,x", "more cells than columns: 8 stand in 6"),
        ("q,30.5,-97.5,1e99,metal,3", "that of no roof"),
        ("q2,30.5,-97.5,1e999,metal,3", "too large a number"),
        ("q3,-97.5,30.5,1000,metal,3", "the wrong way round?"),
        ("r,30.5,-97.5", "the area is missing"),
        ("s,30.5,-97.5,1000,metal,3", ""),
    ]
    found = read(tmp_path, HEAD + "\n".join(text for text, _ in rows))
    assert list(found.roofs.id) == ["a", "s"]
    said = reasons(found)
    for number, (_, reason) in enumerate(rows, start=1):
        assert (number in said) == bool(reason)
        assert reason in said.get(number, "")
    counted = dict(counted_reasons(said.values()))
    assert "..." not in "".join(counted)
    assert counted["latitude is not on the globe"] == counted["area is that of no roof"] == 2


def test_an_elevation_is_on_the_earth_or_unknown(tmp_path):
    head = HEAD.replace("people", "people,elevation_ft")
    cells = ("", "-50", "900", "1e12", "1e999", "x")
    text = "".join(f"r{at},30.5,-97.5,1000,metal,3,{one}\n" for at, one in enumerate(cells))
    found = read(tmp_path, head + text)
    assert list(found.roofs.id) == ["r0", "r1", "r2"]
    assert [one.reason.split(" is ")[1] for one in found.bad] == [
        "no place for a roof",
        "no place for a roof",
        "not a number: write it such as 12.5",
    ]
    assert plain_reason("elevation: 12 has no unit: write '9 ft 6 in'") == (
        "elevation cannot be read"
    )


def test_a_use_set_that_is_not_known(tmp_path):
    text = HEAD.replace("people", "people,use_set") + "a,30.5,-97.5,1000,metal,3,househols\n"
    assert "did you mean 'household'" in reasons(read(tmp_path, text))[1]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "The table has no row"),
        (HEAD, "The table has no row"),
        ("\ufeff\n\n", "The table has no row"),
        ("id,latitude,longitude,finish,people\na,1,2,metal,3\n", "The column area is missing"),
        (HEAD.replace("_ft2", "_bushels") + "a,1,2,3,metal,4\n", "The column area is missing"),
        (HEAD.replace("people", "lat") + "a,1,2,3,metal,4\n", "Two columns tell the latitude"),
        (HEAD.replace("people", "ID") + "a,1,2,3,metal,4\n", "A column is named twice: id"),
        (HEAD.replace(",people", "") + "a,1,2,3,metal\n", "The column people is missing"),
        (b"PK\x03\x04rest", "This is a spreadsheet"),
        (b"id\0,latitude", "This is not a text file"),
        (b"\x1f\x8b\x08packed", "This file is packed"),
        (b"PAR1 and no more", "The parquet file cannot be read"),
        ('{"type": "FeatureCollection"', "cannot be read to its end"),
        ('{"type": "Feature"}', "JSON without features"),
        ('{"features": []}', "The table has no row"),
    ],
)
def test_a_table_that_cannot_be_read_is_refused_in_a_sentence(tmp_path, text, says):
    with pytest.raises(BadRoofs, match=says):
        read(tmp_path, text)


def test_no_table(tmp_path):
    with pytest.raises(BadRoofs, match="cannot be opened"):
        read_roofs(tmp_path / "none.csv", DISTRICT)
    with pytest.raises(BadRoofs, match="cannot be opened"):
        read_roofs(tmp_path, DISTRICT)


def test_what_is_usual_in_the_district_need_not_be_told(tmp_path):
    usual = district_of_text(
        SETTINGS.replace("[roof]", 'finish = "slate"\npeople = 2.5\n[roof]', 1)
    )
    found = read(tmp_path, "id,lat,lon,area_m2\na,1,2,30\n", district=usual)
    assert (found.roofs.finish[0], found.roofs.people[0]) == ("slate", 2.5)


def test_parquet_with_numbers(tmp_path):
    draw = random.Random(3)
    areas = [draw.uniform(10, 500) for _ in range(500)]
    columns = {
        "id": range(500),
        "lat": [30.5] * 500,
        "lon": [-97.5] * 500,
        "area_m2": areas,
        "finish": ["metal"] * 499 + [None],
        "people": [3] * 500,
    }
    pl.DataFrame(columns).write_parquet(tmp_path / "roofs.parquet")
    found = read_roofs(tmp_path / "roofs.parquet", DISTRICT)
    assert found.roofs.area_m2.tolist() == areas[:499]
    assert reasons(found) == {500: "the finish is unknown"}


def feature(geometry, **told):
    return {"type": "Feature", "geometry": geometry, "properties": told}


def test_geojson_points_and_outlines(tmp_path):
    point = {"type": "Point", "coordinates": [-97.5, 30.5, 300.0]}
    ring = [[-97.5, 60.0], [-97.4999, 60.0], [-97.4999, 60.0001], [-97.5, 60.0001], [-97.5, 60.0]]
    told = {"finish": "metal", "people": 3}
    features = [
        feature(point, id="a", area_ft2=1000, **told),
        feature(point, id="b", **told),
        feature(None, id="c", **told),
    ]
    features.append(feature({"type": "Polygon", "coordinates": [ring]}, id="d", **told))
    text = json.dumps({"type": "FeatureCollection", "features": features})
    found = read(tmp_path, text, name="roofs.geojson")
    assert found.roofs.area_m2 == pytest.approx([1000 * FT2, 11.1195**2 * 0.5], rel=1e-4)
    assert reasons(found)[2] == "the area is missing"
    assert reasons(found)[3] == "the feature has no point and no outline in degrees"


def test_a_feature_with_odd_properties_is_a_bad_row(tmp_path):
    point = {"type": "Point", "coordinates": [-97.5, 30.5]}
    told = {"id": "a", "area_ft2": 900, "finish": "metal", "people": 2}
    features = [{"geometry": point, "properties": one} for one in (told, [1, 2], "x", 5)]
    found = read(tmp_path, json.dumps({"features": features}))
    assert list(found.roofs.id) == ["a"]
    assert all("properties" in why for why in reasons(found).values())
    assert len(found.bad) == 3


def test_the_area_of_an_outline(tmp_path):
    ring = [[-97.5, 60.0], [-97.4999, 60.0], [-97.4999, 60.0001], [-97.5, 60.0001], [-97.5, 60.0]]
    court = [[x * 0.5 - 48.75, y * 0.5 + 30.00001] for x, y in ring]
    geometry = {"type": "MultiPolygon", "coordinates": [[ring, court]]}
    text = json.dumps({"features": [feature(geometry, id=7, finish="metal", people=3)]})
    found = read(tmp_path, text, name="roofs.geojson")
    # the sphere of 6371 km: 11.1195 m north and half of it east, less a quarter for the court
    assert found.roofs.area_m2[0] == pytest.approx(0.75 * 11.1195**2 * 0.5, rel=1e-4)
    assert found.roofs.latitude[0] == pytest.approx(60.00005)


def test_bad_rows_stand_in_their_file_and_the_rest_completes(tmp_path):
    table = folder_of(tmp_path, 30)
    lines = table.read_text().splitlines()
    lines[5] = lines[5].replace("roof 4,30", "roof 4,60")
    lines[9] = "roof 8,x,-97.5,1000,metal,3,household,900,Upper"
    (tmp_path / "records" / "green-lowlands-invented.csv").write_text(
        "date,rain_mm\n2001-01-01,3\n"
    )
    table.write_text("\n".join(lines))
    sources = Sources(table, tmp_path / "district.toml", tmp_path / "records")
    outcome = screen_district(sources, out=tmp_path / "out", hands=Hands(workers=1))
    written = list(csv.DictReader((tmp_path / "out" / "bad_rows.csv").read_text().splitlines()))
    said = {int(row["row"]): row["reason"] for row in written}
    assert said[5].startswith("no record within the distance: the nearest, Q")
    assert said[9] == "latitude 'x' is not a number: write it such as 12.5"
    short = {row: why for row, why in said.items() if why.startswith("record Q1: ")}
    assert all("a whole year" in why for why in short.values())
    assert short
    assert list(said) == sorted(said)
    assert outcome.roofs == 30 - len(said)
    run = json.loads((tmp_path / "out" / "run.json").read_text())
    assert (run["rows"], run["screened"], run["bad_rows"]) == (30, outcome.roofs, len(said))
    assert "Q1" not in {one["record"] for one in run["records_used"]}
