"""A site whose every name is markup: on each page names are words and never anything else."""

import json
import re
import tomllib
from collections.abc import Iterator
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from xml.dom.minidom import parseString

import pytest
from fastapi.testclient import TestClient

from eavewell.files.site.edit import changed_text
from eavewell.files.site.edit_names import renamed

EVIL = "\"><script>alert(1)</script>&{{7*7}}'<img src=x onerror=alert(2)> "
SITE = "/sites/barrels"
PAGES = (
    *("", "/text", "/line", "/rain", "/trace", "/versions", "/versions/table", "/whole", "/doubts"),
    *("/versions/weighed?choice=0", "/field-sheet", "/field-sheet/bring", "/papers"),
    *(
        "/today",
        "/today/found",
        "/leaks",
        "/ahead",
        "/due",
        "/tests",
        "/faults",
        "/faults?symptom=1",
        "/year",
    ),
    *("/try?address=tank/0/height&level_m=1.5&from_m=0.5", "/entry?address=tank/0/name"),
)


class Seen(HTMLParser):
    """What a browser would make of a page: elements that run things, and what htmx is told."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.runs: list[str] = []
        self.told: list[dict[str, str]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        if tag == "script" and not (said.get("src") or "").startswith("/things/"):
            self.runs.append(tag)
        if tag == "img" and said.get("src") == "x":
            self.runs.append(tag)
        self.runs += [name for name, _ in attrs if name.startswith("on") or name == "style"]
        if "hx-vals" in said:
            self.told.append(json.loads(said["hx-vals"] or ""))


def named(raw: object, way: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """The way to everything in a site file that has a name."""
    if isinstance(raw, dict):
        if way and isinstance(raw.get("name"), str):
            yield way
        for key, one in raw.items():
            yield from named(one, (*way, key))
    elif isinstance(raw, list):
        for row, one in enumerate(raw):
            yield from named(one, (*way, row))


@pytest.fixture
def evil(client: TestClient, sites: Path) -> TestClient:
    """What asks a server whose one site has markup for all its names."""
    file = sites / "barrels" / "site.toml"
    text = file.read_text()
    for row, way in enumerate(named(tomllib.loads(text))):
        text = renamed(text, way, name=f"{EVIL}{row}")
    for field in ("name", "datum"):
        text = changed_text(text, (field,), value=EVIL + field)
    file.write_text(text)
    (sites / "barrels" / "versions").mkdir()
    (sites / "barrels" / "versions" / "<b onclick=x>'\".toml").write_text(text)
    return client


def test_no_name_runs_on_any_page(evil: TestClient) -> None:
    for page in PAGES:
        answer = evil.get(f"{SITE}{page}")
        assert answer.status_code in (200, 204), page
        assert not Seen(answer.text).runs, page
        assert "&49" not in answer.text and "&amp;49" not in answer.text, page
    register = evil.get("/").text
    assert "&lt;script&gt;alert(1)" in register and not Seen(register).runs


def test_no_name_runs_where_the_water_was_read(evil: TestClient) -> None:
    read = evil.post(f"{SITE}/today", data={"value": "20 in", "who": EVIL})
    assert read.status_code == 200 and not Seen(read.text).runs
    for page in (
        "/today",
        "/today/found",
        "/leaks",
        "/ahead",
        "/due",
        "/faults?symptom=6",
        "/year",
    ):
        answer = evil.get(f"{SITE}{page}")
        assert answer.status_code == 200 and not Seen(answer.text).runs, page
    for kind, page in (("stick", "/today"), ("plate fan", "/ahead")):
        (drawn,) = re.findall(rf'<svg class="{kind}".*?</svg>', evil.get(f"{SITE}{page}").text)
        parseString(drawn)


def test_no_name_runs_in_any_part_and_each_can_be_taken_out(evil: TestClient) -> None:
    ways, seen = [f"{SITE}/whole"], set[str]()
    told = []
    while ways:
        way = ways.pop()
        if way in seen:
            continue
        seen.add(way)
        answer = evil.get(way)
        # the client of the tests, unlike a browser, undoes %252F to a slash
        assert answer.status_code == 200 or "/goal/" in way, way
        page = Seen(answer.text)
        assert not page.runs, way
        told += page.told
        ways += [unescape(one) for one in re.findall(r'hx-get="([^"]+/part/[^"]+)"', answer.text)]
    assert len(seen) > 30
    tank = next(one for one in told if one.get("address") == "tank/0" and "of" in one)
    assert tank["of"].startswith(EVIL)
    assert evil.post(f"{SITE}/take-out", data=tank).status_code == 200


def test_no_name_runs_in_a_field_sheet_taken_along(evil: TestClient) -> None:
    answer = evil.get(f"{SITE}/field-sheet.html")
    assert Seen(answer.text).runs == ["script", "script", "script"]  # its own three


def test_no_name_runs_in_what_comes_back_from_a_visit(evil: TestClient) -> None:
    lines = ("EAVEWELL FIELD SHEET 1", f"site: {EVIL}", f"item: {EVIL}", f"what: {EVIL}")
    more = (f"value: {EVIL}", f"note: {EVIL}", f"reading: {EVIL} | 4 | ", EVIL)
    text = "\n".join((*lines, *more, "END OF FIELD SHEET"))
    for what in ("text", "take"):
        answer = evil.post(f"{SITE}/field-sheet/{what}", data={"text": text, "taken": EVIL})
        assert answer.status_code == 200 and not Seen(answer.text).runs


def test_no_name_of_a_file_runs(evil: TestClient) -> None:
    rain = "date,rain_mm\n" + "\n".join(f"2000-01-{day:02},1.5" for day in range(1, 32))
    for way in ("/rain/file", "/field-sheet/photographs", "/field-sheet/file"):
        key = "files" if way.endswith("photographs") else "file"
        answer = evil.post(f"{SITE}{way}", files={key: (f"{EVIL}.csv", rain.encode())})
        assert answer.status_code < 500 and not Seen(answer.text).runs


def test_the_drawing_is_whole_with_such_names(evil: TestClient) -> None:
    drawing = re.search(r'<svg xmlns[^>]* class="drawing".*?</svg>', evil.get(SITE).text, re.DOTALL)
    assert drawing and not Seen(drawing[0]).runs
    assert EVIL.strip()[:20] in parseString(drawing[0]).documentElement.toxml().replace(
        "&quot;", '"'
    ).replace("&gt;", ">").replace("&lt;", "<")
