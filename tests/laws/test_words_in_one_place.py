"""The English text of papers and sheets stands in tables/words alone, ready for translation."""

import ast
import csv
import re
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest

import eavewell
from eavewell.faults import BadTable
from eavewell.tables import rows
from eavewell.tables.texts import words

HOME = Path(eavewell.__file__).parent
TABLES = HOME / "tables/words"
READERS = sorted(file for room in ("papers", "drawings") for file in (HOME / room).rglob("*.py"))
WORDY = re.compile(r"[A-Za-z]{2,}")

# what reads like words and is not text of a paper
KEPT = {
    "names of looks and sizes within the program": {
        "axes fraction",
        "data|axes fraction",
        "Fira Sans",
        "half letter",
        "head right",
        "offset points",
        "sum words",
        "wall a4",
        "wall letter",
    },
    "words of answers and tables that are looked for": {
        "common practice",
        "dead storage",
        "fire reserve",
        "flow of",
        "gutter outlet",
        "lowest floor",
        "no failure found",
        "poly line",
        "property line",
        "water test",
    },
    "faults that are made before they are raised": {
        "Not ours, or changed since it was written: move it, or name another folder. "
        "Nothing was written.",
        "The letters for labels lack  0 : name it in Latin, Greek or Cyrillic letters.",
    },
    "names of units, which stand in the table of units": {"ft in"},
}
# kinds of tags and names of signs are known by these words in the tables of both
KINDS = {row["kind"] for row in rows("tag_kinds")} | {row["symbol"] for row in rows("symbols")}
# each line is looked for by its words: by the field sheet, and by the first day on site
LOOKED_FOR = {"drawings/field_verify.py"}
MARKUP = re.compile(r"<[a-z]+[ >]|[a-z]=\"|^ transform|^=|^&L|^-//|\(\?P<|\.(svg|dxf|ttf)\b")
# files whose words are still to be moved, and how many each holds
NOT_YET: dict[str, int] = {}


def literals(tree: ast.AST) -> Iterator[str]:
    """Every literal with two words, gaps left out; not docstrings, faults, keys, comparisons."""
    passed = {id(node) for node in _passed(tree)}
    stack = [tree]
    while stack:
        node = stack.pop()
        if id(node) in passed:
            continue
        if isinstance(node, ast.JoinedStr):
            fixed = [one.value for one in node.values if isinstance(one, ast.Constant)]
            text = " 0 ".join(str(one) for one in fixed)
        else:
            text = node.value if isinstance(node, ast.Constant) else ""
            stack += ast.iter_child_nodes(node)
        if isinstance(text, str) and " " in text and len(WORDY.findall(text)) > 1:
            yield text


def _passed(tree: ast.AST) -> Iterator[ast.AST]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
            if ast.get_docstring(node) is not None:
                yield node.body[0]
        elif isinstance(node, ast.Raise):
            yield node
        elif isinstance(node, ast.Compare):
            yield from (node.left, *node.comparators)
        elif isinstance(node, ast.Dict):
            yield from (key for key in node.keys if key is not None)
        elif isinstance(node, ast.Subscript):
            yield node.slice
        elif isinstance(node, ast.match_case):
            yield node.pattern


def calls(tree: ast.AST) -> Iterator[tuple[str, ast.Call]]:
    """Every use of a table's words with the name of its table."""
    named = [
        node.value.args[0].value
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "WORDS"
        if ast.unparse(node.value).removeprefix("texts.").startswith("words(")
    ]
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and ast.unparse(node.func).startswith("WORDS."):
            yield named[0], node


def texts() -> dict[tuple[str, str], str]:
    found = {}
    for file in sorted(TABLES.glob("*.csv")):
        for row in csv.DictReader(file.read_text(encoding="utf-8").splitlines()):
            assert set(row) == {"key", "text"}, file.name
            assert (file.stem, row["key"]) not in found, f"{file.name}: {row['key']} twice"
            found[file.stem, row["key"]] = row["text"]
    return found


def gaps(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


def test_no_words_in_the_code():
    kept = KINDS.union(*KEPT.values())
    found = {}
    for file in READERS:
        tree = ast.parse(file.read_text(encoding="utf-8"))
        said = [one for one in literals(tree) if one not in kept and not MARKUP.search(one)]
        if said and file.relative_to(HOME).as_posix() not in LOOKED_FOR:
            found[file.relative_to(HOME).as_posix()] = said
    assert {file: said for file, said in found.items() if file not in NOT_YET} == {}
    assert {file: len(said) for file, said in found.items() if file in NOT_YET} == NOT_YET


def test_every_key_is_used_and_every_used_key_exists():
    used = set()
    for file in READERS:
        for name, call in calls(ast.parse(file.read_text(encoding="utf-8"))):
            assert isinstance(call.args[0], ast.Constant), f"{file.name}: a key is written out"
            used.add((name, call.args[0].value))
    assert used - set(texts()) == set()
    assert set(texts()) - used == set()


def test_every_gap_is_filled():
    known, wrong = texts(), []
    for file in READERS:
        for name, call in calls(ast.parse(file.read_text(encoding="utf-8"))):
            if call.func.attr == "say":
                given = {one.arg for one in call.keywords}
                if given != gaps(known[name, call.args[0].value]):
                    wrong.append((file.name, call.args[0].value))
    assert wrong == []


def test_texts_are_clean():
    for (name, key), text in texts().items():
        assert text.strip("|"), (name, key)
        assert re.fullmatch(r"[a-z0-9_.]+", key), (name, key)
        assert not text.endswith(" "), (name, key)


def test_an_unknown_key_and_a_missing_gap_are_told():
    card = words("tank_card")
    with pytest.raises(BadTable, match=r"tank_card\.csv: there is no 'nowhere'"):
        card.say("nowhere")
    with pytest.raises(BadTable, match=r"'says\.stops' has a gap 'of'"):
        card.say("says.stops")
    assert card.say("says.stops", of="Garden {x}") == "Garden {x} stops"
    assert card.several("page.trucks") == ("Truck, telephone", "Second truck, telephone")


def test_a_break_of_the_line_and_an_open_gap():
    assert words("tank_card").say("head.busiest_month").count("\n") == 1
    assert words("owners_manual").unfilled("data.heads.roof") == "roof '{name}'"


def test_literals_are_seen():
    tree = ast.parse('"""A docstring here."""\nx = f"{n} tanks as one"\ny = {"two words": "alone"}')
    assert [one.strip() for one in literals(tree)] == ["tanks as one"]
