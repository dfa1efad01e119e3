"""The printed field sheet has the items of the sheet in the browser, in the same order."""

import tomllib
from datetime import date
from io import BytesIO
from pathlib import Path

from pypdfium2 import PdfDocument

from eavewell.drawings.field_verify import field_verify
from eavewell.files.field.items import stops
from eavewell.files.site.reader import site_of_text
from eavewell.papers.field_sheet import field_sheet_paper
from eavewell.papers.paper import Ledger, Part
from eavewell.papers.typeset import pdfs

FILE = Path(__file__).parents[2] / "examples" / "whole-house" / "site.toml"
RAIN = {"name": "invented", "from": "1990-01-01", "to": "2019-12-31", "invented": True}


def test_same_order_and_boxes(monkeypatch):
    monkeypatch.setattr("eavewell.papers.design_report._lead", lambda *_: ())
    monkeypatch.setattr("eavewell.papers.design_report.issue_mark", lambda *_: "")
    text = FILE.read_text()
    raw, site = tomllib.loads(text), site_of_text(text)
    answer = {"rain": RAIN, "site": site.name, "eavewell": "0"}
    paper = field_sheet_paper(site, answer, raw=raw, day=date(2027, 3, 1), system="us")
    found = stops(raw, boxed=field_verify(site))
    assert [one.words for one in paper.blocks if isinstance(one, Part)] == [
        one.title for one in found
    ]
    printed = [row for one in paper.blocks if isinstance(one, Ledger) for row in one.rows]
    asked = [row[1] for row in printed if row[0] in ("find", "check")]
    assert asked == [
        f"{one.part}: {one.question}" if one.part else one.question
        for stop in found
        for one in stop.items
    ]
    (made,) = pdfs([paper]).values()
    with PdfDocument(BytesIO(made)) as document:
        words = "".join(page.get_textpage().get_text_range() for page in document)
    assert "backsight" not in words and "How high is the gutter outlet" in words.replace(
        "\r\n", " "
    )
