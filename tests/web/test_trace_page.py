"""What is traced is measured by the server and written into the site file as one change."""

import io
import json
import tomllib
import zipfile
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from PIL import Image, ImageDraw

SITE = "/sites/barrels/trace"
SQUARE = [["0", "0"], ["14 ft", "0"], ["14", "12 ft left"], ["0", "3.6576 m left"]]


def _plane(points, **more):
    return {"kind": "plane", "of": "shed", "roof": 0, "plane": -1, "points": points, **more}


def _aerial(kind: str = "PNG", size: tuple[int, int] = (600, 400)) -> bytes:
    """Invented: one brown roof on a green field, with words in its metadata."""
    picture = Image.new("RGB", size, (120, 135, 90))
    ImageDraw.Draw(picture).rectangle((100, 100, 400, 300), fill=(150, 90, 70))
    out = io.BytesIO()
    words = picture.getexif()
    words[0x010E] = "a secret place"
    picture.save(out, kind, exif=words)
    return out.getvalue()


def _keep(client: TestClient, things, **more):
    version = client.get(f"{SITE}.json").json()["version"]
    told = {"things": things, "version": version, **more}
    return client.post(f"{SITE}/kept.json", json=told)


def _said(sites: Path) -> dict:
    return tomllib.loads((sites / "barrels" / "site.toml").read_text())


def test_the_sheet_lists_what_can_be_set_out(client: TestClient) -> None:
    told = client.get(f"{SITE}.json").json()
    assert [(one["kind"], one["of"]) for one in told["things"]] == [
        ("plane", "shed"),
        ("tank", "barrels"),
        ("property", "property line"),
    ]
    assert told["unit"] == "ft" and told["underlay"] == {}
    assert client.get(SITE).status_code == 200


def test_an_outline_is_measured_with_its_right_angles(client: TestClient) -> None:
    told = client.post(f"{SITE}/measured.json", json={"things": [_plane(SQUARE)]}).json()
    (one,) = told["things"]
    # 14 ft x 12 ft = 168 ft2; 1 ft2 = 0.09290304 m2
    assert one["area_m2"] == pytest.approx(168 * 0.09290304, rel=1e-9)
    assert one["area"] == "168 ft2" and one["right"] == [True] * 4
    assert one["sides"] == ["14 ft", "12 ft", "14 ft", "12 ft"]
    assert one["points"][3] == ["0", "12 left"]


def test_an_l_shape_agrees_with_its_rectangles(client: TestClient) -> None:
    corners = [(0, 0), (36, 0), (36, 20), (22, 20), (22, 30), (0, 30)]
    points = [[str(x), f"{y} right"] for x, y in corners]
    (one,) = client.post(f"{SITE}/measured.json", json={"things": [_plane(points)]}).json()[
        "things"
    ]
    assert one["area_m2"] == pytest.approx((36 * 20 + 22 * 10) * 0.09290304, rel=1e-9)


@pytest.mark.parametrize(
    ("points", "says"),
    [
        ([["0", "0"], ["10", "10 left"], ["10", "0"], ["0", "10 left"]], "crosses itself"),
        ([["0", "0"], ["10", "0"]], "2 of the 3 points"),
        ([["0", "0"], ["10", "0"], ["10", "0"], ["0", "9 l"]], "same point twice"),
        ([["0", "0"], ["ten", "0"], ["10", "9 l"]], "ten"),
        ([["0", "0"], ["9 gal", "0"], ["10", "9 l"]], "gal"),
    ],
)
def test_what_is_no_outline_is_refused_and_nothing_written(client, sites, points, says) -> None:
    before = (sites / "barrels" / "site.toml").read_bytes()
    told = _keep(client, [_plane(points)])
    assert told.status_code == 422 and says in " ".join(told.json()["says"])
    assert (sites / "barrels" / "site.toml").read_bytes() == before


def test_all_of_it_is_written_as_one_change_that_can_be_undone(client, sites) -> None:
    before = (sites / "barrels" / "site.toml").read_text()
    things = [
        _plane(SQUARE),
        {"kind": "tank", "of": "barrels", "points": [["-3 ft", "2 ft right"]]},
        {"kind": "tree", "of": "old oak", "points": [["30", "10"]], "across": "20"},
        {"kind": "property", "points": [["-10", "20 right"], ["50", "20 right"]]},
    ]
    assert _keep(client, things, north="12").status_code == 200
    said = _said(sites)
    (roof,) = said["roof"]
    assert roof["corners"] == [[0, 0], [14, 0], [14, 12], [0, 12]] and "plan" not in roof
    assert said["plan"]["tank"] == [{"of": "barrels", "x": -3, "y": -2}]
    assert said["plan"]["property"] == [[-10, -20], [50, -20]] and said["plan"]["north"] == 12.0
    assert said["plan"]["tree"][0]["across"].startswith("20")
    assert "# " in (sites / "barrels" / "site.toml").read_text()
    # the same again changes nothing: it is not a change
    told = client.get(f"{SITE}.json").json()
    again = (sites / "barrels" / "site.toml").read_bytes()
    keys = ("kind", "of", "roof", "plane", "points", "across")
    sent = [{key: one[key] for key in keys} for one in told["things"] if one["points"]]
    assert _keep(client, sent, north=told["north"]).status_code == 200
    assert (sites / "barrels" / "site.toml").read_bytes() == again
    client.post("/sites/barrels/undo")
    assert (sites / "barrels" / "site.toml").read_text() == before


def test_a_roof_becomes_two_planes(client, sites) -> None:
    other = [["0", "0"], ["14", "0"], ["14", "5 right"], ["0", "5 right"]]
    assert _keep(client, [_plane(SQUARE, plane=0), _plane(other, plane=1)]).status_code == 200
    planes = _said(sites)["roof"][0]["plane"]
    assert [one["corners"][2] for one in planes] == [[14, 12], [14, -5]]
    area_m2 = client.get("/sites/barrels.json").json()["roofs"][0]["plan_area_m2"]
    assert area_m2 == pytest.approx((168 + 70) * 0.09290304, rel=1e-6)


def test_a_file_changed_meanwhile_is_not_written_over(client: TestClient) -> None:
    told = {"things": [_plane(SQUARE)], "version": "another"}
    assert client.post(f"{SITE}/kept.json", json=told).status_code == 409


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_a_picture_is_kept_without_its_words(client, sites, kind) -> None:
    data = _aerial(kind)
    assert b"a secret place" in data
    told = client.post(f"{SITE}/underlay.json", files={"file": ("../up.png", data)}).json()
    assert (told["wide_px"], told["high_px"], told["scaled"]) == (600, 400, False)
    kept = (sites / "barrels" / "plan" / "underlay.png").read_bytes()
    assert kept.startswith(b"\x89PNG") and b"secret" not in kept
    assert client.get(f"{SITE}/underlay.png").content == kept
    assert not (sites / "up.png").exists()


def test_scale_north_and_place_of_the_picture(client, sites) -> None:
    told = client.post(f"{SITE}/underlay.json", files={"file": ("a.png", _aerial())}).json()
    wide_m = 300 * told["m_per_px"]
    ends = {"ends_m": [[3.0, 4.0], [3.0 + wide_m, 4.0]], "distance": "62 ft"}
    told = client.post(f"{SITE}/scale.json", json=ends).json()
    assert told["m_per_px"] * 300 == pytest.approx(62 * 0.3048) and told["scaled"]
    place = {"kind": "property", "points": [["-10 ft", "5 ft right"]]}
    client.post(f"{SITE}/place.json", json=place)
    laid = tomllib.loads((sites / "barrels" / "plan" / "underlay.toml").read_text())
    assert (laid["left_m"], laid["low_m"]) == pytest.approx((-3.048, -1.524))
    north = client.post(f"{SITE}/north.json", json={"ends_m": [[0, 0], [1, 1]]}).json()
    assert north == {"north_deg": 45.0}
    assert client.post(f"{SITE}/gone.json", json={}).json() == {}
    assert client.get(f"{SITE}.json").json()["underlay"] == {}


def test_a_page_of_a_pdf(client: TestClient) -> None:
    out = io.BytesIO()
    Image.new("RGB", (300, 200), "white").save(out, "PDF")
    files = {"file": ("plan.pdf", out.getvalue())}
    told = client.post(f"{SITE}/underlay.json", files=files, data={"page": "1"}).json()
    assert told["wide_px"] / told["high_px"] == pytest.approx(1.5, rel=0.01)
    gone = client.post(f"{SITE}/underlay.json", files=files, data={"page": "2"})
    assert gone.status_code == 422 and "no page 2" in gone.json()["says"][0]


def _blank(side: int) -> bytes:
    """Few bytes, many points."""
    out = io.BytesIO()
    Image.new("1", (side, side)).save(out, "PNG")
    return out.getvalue()


def _zip() -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as bundle:
        bundle.writestr("roof.png", "x")
    return packed.getvalue()


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b'<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>', "SVG"),
        (b'<?xml version="1.0"?><svg/>', "SVG"),
        (_zip(), "zip"),
        (b"", "empty"),
        (b"GIF89a" + bytes(60), "neither PNG nor JPEG"),
        (_aerial()[:300], "damaged"),
        (b"%PDF-1.7 nothing", "damaged or locked"),
        (_aerial(size=(8, 8)), "too small"),
        (_blank(8000), "60 million"),
        (_blank(10_000), "60 million"),
        (bytes(24_000_001), "larger than 24 MB"),
    ],
)
def test_what_is_no_picture_is_refused_with_a_sentence(client, sites, data, says) -> None:
    told = client.post(f"{SITE}/underlay.json", files={"file": ("roof.png", data)})
    assert told.status_code == 422 and says in told.json()["says"][0]
    assert not (sites / "barrels" / "plan" / "underlay.png").exists()


def test_a_picture_of_two_hundred_megabytes_is_refused_before_it_is_read(client) -> None:
    headers = {"content-length": "200000000", "content-type": "multipart/form-data; boundary=x"}
    told = client.post(f"{SITE}/underlay.json", content=b"x", headers=headers)
    assert told.status_code == 413 and "too large" in told.text


def test_the_picture_is_not_written_through_a_link(client, sites, tmp_path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (sites / "barrels" / "plan").symlink_to(outside)
    told = client.post(f"{SITE}/underlay.json", files={"file": ("a.png", _aerial())})
    assert told.status_code == 422 and not any(outside.iterdir())


@pytest.mark.parametrize(
    "thing",
    [
        _plane(SQUARE, roof=-1),
        _plane(SQUARE, roof=7),
        {"kind": "tank", "of": "no such tank", "points": [["0", "0"]]},
        {"kind": "pipe", "of": "no such pipe", "points": [["0", "0"], ["3", "4"]]},
        {"kind": "tree", "of": "\ud800", "points": [["0", "0"]]},
        {"kind": "tree", "of": "", "points": [["0", "0"]]},
        {"kind": "tree", "of": "oak", "points": [["0", "0"]], "across": "wide"},
        {"kind": "tree", "of": "oak", "points": [["0", ""]]},
        {"kind": "cloud", "points": [["0", "0"]]},
        _plane([["1e999", "0"], ["0", "0"], ["1", "1"]]),
        _plane([["900 mi", "0"], ["0", "0"], ["1", "1"]]),
        _plane([["0", "0"]] * 401),
    ],
)
def test_what_cannot_be_kept_is_refused_and_the_file_is_as_it_was(client, sites, thing) -> None:
    before = (sites / "barrels" / "site.toml").read_bytes()
    version = client.get(f"{SITE}.json").json()["version"]
    told = json.dumps({"things": [thing], "version": version})
    answer = client.post(f"{SITE}/kept.json", content=told)
    assert answer.status_code == 422
    assert (sites / "barrels" / "site.toml").read_bytes() == before


@pytest.mark.parametrize("told", ["{}", "[", '{"ends_m": [[NaN, 0], [1, 1]]}', '{"ends_m": 3}'])
def test_points_that_are_none_are_refused(client: TestClient, told: str) -> None:
    for what in ("scale", "north", "place", "measured", "kept"):
        assert client.post(f"{SITE}/{what}.json", content=told).status_code == 422


def test_a_site_file_that_is_no_toml_opens_and_keeps_nothing(client, sites) -> None:
    (sites / "barrels" / "site.toml").write_text("roof = [")
    assert client.get(SITE).status_code == 200
    assert _keep(client, [_plane(SQUARE)]).status_code == 422
    assert (sites / "barrels" / "site.toml").read_text() == "roof = ["


@pytest.mark.parametrize(
    "odd", ["roof = 3", "plan = 3", "[plan]\nunit = 7\ntank = 'x'\npipe = [3]"]
)
def test_odd_tables_are_no_fault_of_ours(client, sites, odd: str) -> None:
    (sites / "barrels" / "site.toml").write_text(f'name = "odd"\n{odd}\n')
    assert client.get(f"{SITE}.json").status_code == 200
    assert _keep(client, [_plane(SQUARE)]).status_code == 422
