"""The documentation as a site: it is built without a warning, and whatever it names is there."""

import re
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config

from eavewell.answers.schema import keys, layouts

HOME = Path(__file__).parents[2]
# rooms that the order of imports names, and what stands beside it
BESIDE = {"__main__"}


class Page(HTMLParser):
    """What a page links to, what it loads, and the places in it."""

    def __init__(self, text):
        super().__init__()
        self.links, self.loads, self.places = [], [], set()
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.places.add(given.get("id"))
        if tag == "a":
            self.links.append(given.get("href", ""))
        else:
            self.loads += [given[name] for name in ("src", "href") if name in given]


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """The whole site, built in a folder; strict, so that a warning stops it."""
    folder = tmp_path_factory.mktemp("docs")
    before = list(sys.path)
    build(load_config(str(HOME / "mkdocs.yml"), site_dir=str(folder)))
    assert sys.path == before
    return folder


def _pages(folder):
    return {file: Page(file.read_text(encoding="utf-8")) for file in folder.rglob("*.html")}


def test_every_link_leads_somewhere_and_so_does_every_place(site):
    pages = _pages(site)
    assert len(pages) > 25
    for file, page in pages.items():
        for link in page.links:
            if re.match(r"https?:|mailto:", link):
                continue
            path, _, place = link.partition("#")
            to = (file.parent / path).resolve() if path else file
            assert to.is_file(), f"{file.name}: {link}"
            assert not place or place in pages[to].places, f"{file.name}: {link}"


def test_nothing_is_loaded_from_the_network(site):
    for file, page in _pages(site).items():
        for load in page.loads:
            assert not re.match(r"https?:|//", load), f"{file.name}: {load}"
            assert (file.parent / load).resolve().is_file(), f"{file.name}: {load}"
    style = (site / "look.css").read_text(encoding="utf-8")
    for name in re.findall(r'url\("([^"]+)"\)', style):
        assert (site / name).is_file(), name


def test_every_key_of_every_answer_stands_on_its_page(site):
    text = (site / "reference" / "json.html").read_text(encoding="utf-8")
    for layout in layouts():
        assert f"eavewell-{layout}/1" in text
    cells = set(re.findall(r"<td>([^<]*)</td>", text))
    missing = {row["key"] for layout in layouts() for row in keys(layout)} - cells
    assert not missing


def test_equations_are_drawn_by_the_browser_itself(site):
    text = (site / "methods.html").read_text(encoding="utf-8")
    assert text.count("<math") == (HOME / "docs" / "methods.md").read_text().count("```math")
    assert "```" not in text
    for equation in re.findall(r"<math.*?</math>", text, re.DOTALL):
        assert "&amp;" not in equation and "\\" not in equation, equation[:200]


def test_every_room_stands_in_the_picture():
    laws = (HOME / "tests" / "laws" / "test_import_order.py").read_text(encoding="utf-8")
    order = re.search(r'r"\\w\+",\s+"""(.*?)"""', laws, re.DOTALL)[1].split()
    told = (HOME / "docs" / "pictures" / "house.svg").read_text(encoding="utf-8")
    drawn = re.findall(r'font-weight="600"[^>]*>(\w+)</text>', told)
    assert drawn == [room for room in order if room not in BESIDE]


def test_every_person_has_a_guide(site):
    guides = {file.stem for file in (HOME / "docs" / "guides").glob("*.md")}
    start = Page((site / "index.html").read_text(encoding="utf-8"))
    assert {Path(link).stem for link in start.links if link.startswith("guides/")} == guides
    assert len(guides) == 9


@pytest.mark.parametrize("page", ["README.md", "CONTRIBUTING.md", "benchmarks/README.md"])
def test_links_of_the_pages_beside_the_site(page):
    text = (HOME / page).read_text(encoding="utf-8")
    for link in re.findall(r"\]\(([^)#]+)", text):
        if "://" not in link:
            assert (HOME / page).parent.joinpath(link).exists(), link
