"""Papers of small made-up sites and of the examples, as text; everything here is invented."""

import io
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

from pypdf import PdfReader
from tests.designed_examples import designed

from eavewell.answers import answer
from eavewell.design import design
from eavewell.papers.build_steps import build_steps_paper
from eavewell.papers.commissioning import commissioning_paper
from eavewell.papers.handout import handout_paper
from eavewell.papers.owners_manual import owners_manual_paper
from eavewell.papers.parts_list import parts_list_paper
from eavewell.papers.review_pack import review_pack_paper
from eavewell.papers.typeset import pdf

TODAY = date(2026, 1, 1)
EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
PAPERS = {
    "build-steps": build_steps_paper,
    "commissioning": commissioning_paper,
    "handout": handout_paper,
    "owners-manual": owners_manual_paper,
    "parts-list": parts_list_paper,
    "review-pack": review_pack_paper,
}


@cache
def example(name):
    """The answer of an example, worked out once."""
    return answer(designed(name))


def of_site(making, site=None, **fields):
    """The answer of a small made-up site on a short made-up record."""
    whole = replace(site or making.site(), **fields)
    return answer(design(whole, making.record(making.wet_and_dry(3)), today=TODAY))


def pages(paper):
    """Text of every page of a paper, white space closed up."""
    reader = PdfReader(io.BytesIO(pdf(paper)))
    return [" ".join(page.extract_text().split()) for page in reader.pages]
