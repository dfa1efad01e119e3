"""The design report on paper: the figures of the answer, both standards, the same bytes twice."""

import io
import re
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader
from tests.designed_examples import designed

from eavewell.answers import answer
from eavewell.answers.shown import Sizes
from eavewell.drawings.compose import size_mm
from eavewell.faults import EavewellFault
from eavewell.papers.all_papers import drawn_papers
from eavewell.papers.design_report import design_report
from eavewell.papers.paper import Boxes, Lead, Paper, Part, Picture
from eavewell.papers.typeset import pdf
from eavewell.report.blocks import Caution, heading, marked, paragraph, ruled

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
TODAY = date(2026, 1, 1)


def pages_of(made):
    pages = PdfReader(io.BytesIO(made)).pages
    return [" ".join(page.extract_text().split()) for page in pages]


def text_of(made):
    return " ".join(pages_of(made))


@pytest.fixture(scope="module", params=NAMES)
def made(request):
    whole = designed(request.param)
    found = answer(whole)
    return whole, found, drawn_papers(whole, found, day=TODAY)


@pytest.fixture(scope="module")
def pages(made):
    """The words of every page of the report."""
    return pages_of(made[2]["design-report.pdf"])


def test_the_paper_holds_the_figures_of_the_answer(made, pages):
    whole, found, _ = made
    text = " ".join(pages)
    sizes = Sizes(whole.site.place.show)
    storage = found["storage"]
    told = [
        sizes.share(storage["supplied_share"]),
        sizes.share(storage["days_met_share"]),
        *(sizes.volume(store["usable_l"]) for store in storage["stores"]),
        *(sizes.share(use["supplied_share"]) for use in storage["uses"]),
        *(sizes.daily(use["mean_l_per_day"]) for use in found["demand"]),
    ]
    plain = text.replace(" %", "%")
    for figure in told:
        assert figure.replace(" %", "%") in plain, figure


def test_every_page_names_record_version_day_and_the_invented_climate(made, pages):
    _, found, _ = made
    for text in pages:
        assert found["rain"]["name"] in text
        assert f"Eavewell {found['eavewell']}, 1 Jan 2026" in text
        assert "Invented climate" in text
        assert re.search(r"\d+ ?/ ?\d+$|\d+ ?/ ?\d+", text)


def test_every_caution_and_finding_stands_on_paper(made, pages):
    _, found, _ = made
    text = " ".join(pages).replace("- ", "")
    squeezed = re.sub(r"[\s‐-]", "", text)
    for one in found["cautions"]:
        assert re.sub(r"[\s-]", "", one["says"]) in squeezed, one["code"]
    for one in found["findings"]:
        assert re.sub(r"[\s-]", "", one["where"].split("'")[0]).lower() in squeezed.lower()


def test_it_is_archival_accessible_and_dated(made):
    papers = made[2]
    reader = PdfReader(io.BytesIO(papers["design-report.pdf"]))
    about = reader.xmp_metadata
    raw = about.stream.get_data().decode()
    assert "<pdfaid:part>2</pdfaid:part>" in raw
    assert "<pdfuaid:part>1</pdfuaid:part>" in raw
    assert reader.metadata.creation_date.date() == TODAY
    assert reader.outline


def test_two_runs_give_the_same_bytes(made):
    whole, found, papers = made
    assert drawn_papers(whole, found, day=TODAY) == papers


def test_the_sheet_is_on_a_page_of_its_own_and_of_its_size(made):
    whole, _, papers = made
    size = "tabloid" if whole.site.place.show == "us" else "a3"
    width, height = size_mm(size)
    assert f'width="{width:g}mm" height="{height:g}mm"' in papers["sheets/section.svg"]
    boxes = [page.mediabox for page in PdfReader(io.BytesIO(papers["design-report.pdf"])).pages]
    assert sum(box.width > box.height for box in boxes) == 1


def paper(*blocks, **fields):
    given = {
        "name": "t",
        "title": "Trial",
        "site": "made up",
        "day": TODAY,
        "record": "none",
        "version": "0",
    } | fields
    return Paper(blocks=blocks, **given)


def test_markup_quotes_and_long_names_are_set_as_they_stand():
    name = 'a "quoted" #let x = 1 $y$ *bold* _low_ \\ <tag> [b] @ref `raw` ' + "long " * 40
    blocks = (
        Part(name),
        heading(name),
        Lead(name),
        paragraph(name),
        Caution(name),
        marked("stop", name),
        Boxes((name,)),
        ruled(("thing", "figure"), [(name, "1")], notes=[name]),
    )
    text = re.sub(r"[\s‐-]", "", text_of(pdf(paper(*blocks))))
    assert text.count(re.sub(r"[\s-]", "", '"quoted" #let x = 1 $y$ *bold* _low_')) >= 8


def test_letters_that_no_font_has_are_told():
    with pytest.raises(EavewellFault, match="letters"):
        pdf(paper(paragraph("水")))


def test_a_picture_needs_its_words():
    svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M0 0L9 9"/></svg>'
    assert pdf(paper(Picture(svg, "A line from corner to corner.")))


@pytest.mark.parametrize("system", ["us", "metric"])
def test_paper_sizes(made, system):
    report = design_report(made[1], day=TODAY, system=system)
    page = PdfReader(io.BytesIO(pdf(report))).pages[0]
    wide = {"us": 8.5 * 72, "metric": 210 / 25.4 * 72}[system]
    assert float(page.mediabox.width) == pytest.approx(wide, abs=0.1)
