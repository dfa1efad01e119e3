"""The glossary is binding: one row a term, in order, and every name in it stands in the code."""

import re
from pathlib import Path

import pytest

import eavewell

GLOSSARY = Path(__file__).parents[2] / "docs" / "glossary.md"
HOME = Path(eavewell.__file__).parent
TEXT = GLOSSARY.read_text(encoding="utf-8")
ROW = re.compile(r"^\| (.+?) \| (.+?) \| (.+?) \| (.+?) \|$", re.MULTILINE)
GROUPS = {part.split("\n")[0]: ROW.findall(part)[1:] for part in TEXT.split("\n## ")[1:]}
GROUPS = {name: rows for name, rows in GROUPS.items() if rows}
NAMES = [
    name for rows in GROUPS.values() for row in rows for name in re.findall(r"`(\w+)`", row[1])
]


def test_a_term_has_one_row():
    terms = [row[0] for rows in GROUPS.values() for row in rows]
    assert len(terms) == len(set(terms)) > 60


@pytest.mark.parametrize("group", GROUPS)
def test_terms_stand_in_order(group):
    terms = [row[0] for row in GROUPS[group]]
    assert terms == sorted(terms)


def test_every_name_stands_in_the_code():
    files = [*HOME.rglob("*.py"), *HOME.rglob("answers/*.csv")]
    code = "\n".join(file.read_text(encoding="utf-8") for file in files)
    assert [name for name in NAMES if not re.search(rf"\b{name}\b", code)] == []
