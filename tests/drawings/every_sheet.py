"""Every sheet of the examples, laid out once; the climates are invented."""

from datetime import date
from functools import cache
from pathlib import Path

from tests.designed_examples import designed

from eavewell.answers import answer
from eavewell.files.site.reader import read_site
from eavewell.papers.sheets import sheets

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
TODAY = date(2026, 1, 1)


@cache
def example(name):
    """The site of an example."""
    return read_site(EXAMPLES / name / "site.toml")


@cache
def sheets_of(name):
    """Sheets of an example by name."""
    made = designed(name)
    return sheets(made, answer(made), day=TODAY)
