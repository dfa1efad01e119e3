"""What a visit found is compared, questioned, refused in sentences, and taken as one change."""

import io
import re
from pathlib import Path

import tomlkit
from fastapi.testclient import TestClient
from PIL import Image

from eavewell.files.field.block import FIRST, LAST, checksum

SITE = "/sites/barrels"


def _block(*lines: str, site: str = "barrels") -> str:
    """A sheet as the browser writes it."""
    told = [FIRST, f"site: {site}", "version: v", "day: 2027-03-02", "rod: ft", *lines]
    return "\n".join((*told, "", f"check: {checksum(told)}", LAST, ""))


def _item(client: TestClient, name: str) -> dict[str, str]:
    told = client.get(f"{SITE}/field-sheet.json").json()["stops"]
    return next(one for stop in told for one in stop["items"] if one["item"] == name)


def _of(client: TestClient, name: str) -> tuple[str, str]:
    page = client.get(f"{SITE}/field-sheet").text
    found = re.search(rf'id="{name}" data-what="[^"]*" data-of="([^"]*)" data-was="([^"]*)"', page)
    assert found
    return found[1], found[2]


def _told(client: TestClient, name: str, value: str, how: str = "measured") -> list[str]:
    of, was = _of(client, name)
    lines = [f"item: {name}", f"what: {name}", f"of: {of}", f"was: {was}", f"value: {value}"]
    return [*lines, f"how: {how}"]


def _take(client: TestClient, text: str, *names: str) -> str:
    told = client.post(f"{SITE}/field-sheet/take", data={"text": text, "taken": list(names)})
    assert told.status_code == 200, told.text
    return told.text


def test_the_sheet_alone_needs_nothing_else(client: TestClient) -> None:
    told = client.get(f"{SITE}/field-sheet.html")
    assert told.headers["content-disposition"].startswith("attachment")
    assert not re.search(r'(?:src|href)="(?!#|data:,)', told.text)
    assert "eavewell-mark" not in told.text.lower()
    order = [one["stop"] for one in client.get(f"{SITE}/field-sheet.json").json()["stops"]]
    assert order[:2] == ["Datum and levels", "Roofs"] and order[-1] == "Photographs"
    within = client.get(f"{SITE}/field-sheet").text
    assert "<style" not in within and not re.search(r"<script>|style=", within)
    ids = re.compile(r'<fieldset class="[^"]*" id="([^"]+)"')
    assert ids.findall(within) == ids.findall(told.text) and len(ids.findall(within)) > 20


def test_taken_twice_without_harm_and_undone_at_once(client: TestClient, sites: Path) -> None:
    file = sites / "barrels" / "site.toml"
    before = file.read_text()
    text = _block(
        *_told(client, "roof-0-eave", "8 ft 5 in"), *_told(client, "roof-0-birds", "many")
    )
    shown = client.post(f"{SITE}/field-sheet/text", data={"text": text}).text
    assert shown.count('name="taken"') == 2 and "did not come whole" not in shown
    assert file.read_text() == before
    _take(client, text, "roof-0-eave", "roof-0-birds")
    after = file.read_text()
    roof = tomlkit.parse(after)["roof"][0]
    assert (roof["eave"], roof["birds"]) == ("8 ft 5 in", "many")
    assert "Nothing in the site file was changed" in _take(client, text, "roof-0-eave")
    assert file.read_text() == after
    assert len(list((sites / "barrels" / "field-sheets").iterdir())) == 1
    assert client.post(f"{SITE}/undo").status_code in (200, 204)
    assert file.read_text() == before


def test_odd_ones_are_questioned_and_bad_ones_refused(client: TestClient, sites: Path) -> None:
    before = (sites / "barrels" / "site.toml").read_text()
    text = _block(
        *_told(client, "roof-0-eave", "30 ft"),
        *_told(client, "roof-0-slope", "9 in 12", how="guessed"),
        *_told(client, "roof-0-trees", "a forest"),
        *("item: roof-7-eave", "what: a roof that went", "of: gone", "value: 9 ft"),
        "a line that says nothing",
    )
    shown = client.post(f"{SITE}/field-sheet/text", data={"text": text}).text
    assert "more than 2 ft" in shown and "It is a guess." in shown
    assert shown.count("Cannot be taken:") == 2 and "no such part any more" in shown
    assert "a line that says nothing" in shown and " checked" not in shown
    told = _take(client, text, "roof-0-trees", "roof-7-eave")
    assert "Nothing in the site file was changed" in told
    assert (sites / "barrels" / "site.toml").read_text() == before
    (kept,) = (sites / "barrels" / "field-sheets").iterdir()
    assert kept.read_text() == text


def test_a_text_that_lost_something_says_so(client: TestClient) -> None:
    text = _block(*_told(client, "roof-0-eave", "8 ft 5 in"))
    for broken in (text.replace("8 ft 5", "8 ft 6"), text.replace(LAST, ""), text[:-60]):
        shown = client.post(f"{SITE}/field-sheet/text", data={"text": broken}).text
        assert "did not come whole" in shown and " checked" not in shown
    mangled = "From: me\r\n> hello\r\n" + text.replace("\n", "  \r\n")
    shown = client.post(f"{SITE}/field-sheet/text", data={"text": mangled}).text
    assert "did not come whole" not in shown
    assert client.post(f"{SITE}/field-sheet/text", data={"text": "hello"}).status_code == 422


def test_a_site_file_that_cannot_be_read_is_told(client: TestClient, sites: Path) -> None:
    text = _block(*_told(client, "roof-0-eave", "8 ft 5 in"))
    (sites / "barrels" / "site.toml").write_text("x = [")
    for way, told in (("text", {"text": text}), ("take", {"text": text, "taken": "roof-0-eave"})):
        answer = client.post(f"{SITE}/field-sheet/{way}", data=told)
        assert answer.status_code == 422 and "mend it first" in answer.text
    assert (sites / "barrels" / "site.toml").read_text() == "x = ["
    for way in ("", ".html", ".json", "/bring"):
        assert client.get(f"{SITE}/field-sheet{way}").status_code == 200


def test_photographs_lose_their_place_and_impostors_are_refused(
    client: TestClient, sites: Path
) -> None:
    out, exif = io.BytesIO(), Image.Exif()
    exif[0x8825] = {1: "N", 2: (30.0, 54.0, 0.0), 3: "W", 4: (98.0, 24.0, 0.0)}
    Image.effect_mandelbrot((64, 48), (-2, -1, 1, 1), 20).save(out, "JPEG", exif=exif)
    assert b"Exif" in out.getvalue()
    for _ in range(2):
        files = [("files", ("roof-0-eave-1.jpg", out.getvalue())), ("files", ("x.jpg", b"PK\3\4"))]
        told = client.post(f"{SITE}/field-sheet/photographs", files=files)
        assert told.status_code == 200 and "choose what it shows" in told.text
    bad = {"files": ("roof-0-eave.png", b"<svg xmlns='http://www.w3.org/2000/svg'/>")}
    assert "neither JPEG nor PNG" in client.post(f"{SITE}/field-sheet/photographs", files=bad).text
    (kept,) = (sites / "barrels" / "photos").iterdir()
    data = kept.read_bytes()
    assert kept.name == "roof-0-eave.jpg" and b"Exif" not in data
    assert not Image.open(io.BytesIO(data)).getexif()


def test_photographs_are_looked_at_beside_what_they_show(client: TestClient, sites: Path) -> None:
    way, out = f"{SITE}/field-sheet/photographs", io.BytesIO()
    assert "None is kept yet" in client.get(way).text
    Image.effect_mandelbrot((64, 48), (-2, -1, 1, 1), 20).save(out, "JPEG")
    for name in ("photo-power-1.jpg", "roof-0-eave-1.jpg"):
        client.post(way, files=[("files", (name, out.getvalue()))])
    page = client.get(way).text
    assert page.index('alt="roof shed: ') < page.index('alt="The electric panel')
    seen = client.get(f"{way}/roof-0-eave.jpg")
    assert seen.headers["content-type"] == "image/jpeg"
    assert seen.content == (sites / "barrels" / "photos" / "roof-0-eave.jpg").read_bytes()
    (sites / "secret.jpg").write_bytes(b"secret")
    (sites / "barrels" / "photos" / "roof-0-finish.jpg").symlink_to(sites / "secret.jpg")
    (sites / "barrels" / "photos" / "note.txt").write_text("not a picture")
    for name in ("roof-0-finish.jpg", "note.txt", "..%2Fsite.toml", "none.jpg"):
        assert client.get(f"{way}/{name}").status_code == 404, name
    assert "roof-0-finish" not in client.get(way).text
