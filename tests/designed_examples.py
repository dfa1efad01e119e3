"""The examples as designed on one day, each once for every test that looks at its design."""

from datetime import date
from functools import cache
from pathlib import Path

from eavewell.design import Design, design
from eavewell.files.record import beside_of, record_of
from eavewell.files.site.reader import read_site

EXAMPLES = Path(__file__).parents[1] / "examples"
TODAY = date(2026, 1, 1)


@cache
def designed(name: str) -> Design:
    """The design of an example, which nobody can change."""
    site = read_site(EXAMPLES / name / "site.toml")
    return design(site, record_of(site), beside=beside_of(site), today=TODAY)
