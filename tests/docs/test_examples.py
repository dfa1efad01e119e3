"""Every example of every page is run, page by page, in an empty folder, in the order of the page.

A block with a file's name above it is written under that name. A usage line is held against the
command's own help. A real record is needed by one page; where it is absent the test says so.
"""

import contextlib
import doctest
import gzip
import io
import os
import sys
import time
import tomllib
from pathlib import Path

import pytest

from eavewell import cli

HOME = Path(__file__).parents[2]
PAGES = [
    *sorted((HOME / "docs").rglob("*.md")),
    *(HOME / name for name in ("README.md", "CONTRIBUTING.md")),
]
# what a page rests on that no page can bring with it: real records stay out of the repository
REAL = {
    "docs/ranges.md": "USW00012960.dly.gz",
    "README.md": "hill-house/records/USW00012960.dly",
}
# begun here and ended by a person; that it starts is tested with the pages
STAYS = ("open", "listen")
NETWORK = ("near", "station")


def _called(page):
    return str(page.relative_to(HOME))


def _run(words):
    """One command line in this process: its status and what it says."""
    said = io.StringIO()
    before, sys.argv = sys.argv, ["eavewell", *words[1:]]
    try:
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
            cli.main()
    except SystemExit as ended:
        return ended.code or 0, said.getvalue()
    finally:
        sys.argv = before
    return 0, said.getvalue()


def _usage(words):
    """Every option that a usage line names stands in the help of its command."""
    named = [word.strip("[],") for word in words]
    below = [word for word in named[1:3] if word.islower() and not word.startswith("-")]
    for count in (2, 1):
        status, said = _run(["eavewell", *below[:count], "--help"])
        if status == 0:
            break
    assert status == 0, words
    for option in (word for word in named if word.startswith("--")):
        assert option in said, f"{option} of {words}"


def _python(text, page):
    """A block of Python: as at its prompt, with its answers, or as it stands."""
    if not text.startswith(">>>"):
        with contextlib.redirect_stdout(io.StringIO()):
            exec(compile(text, page, "exec"), {"__name__": "example"})
        return
    test = doctest.DocTestParser().get_doctest(text, _python.names, page, page, 0)
    told = io.StringIO()
    failed = doctest.DocTestRunner().run(test, out=told.write, clear_globs=False).failed
    _python.names.update(test.globs)
    assert not failed, told.getvalue()


def _real(page):
    """The real record that a page rests on, or skip the page and say so; None where none."""
    if page not in REAL:
        return None
    station = Path(REAL[page]).name.removesuffix(".gz")
    shared = Path(os.environ.get("EAVEWELL_SHARED_DATA", "/nowhere"))
    found = next(iter(shared.rglob(f"{station}.gz")), None) if shared.is_dir() else None
    if found is None:
        pytest.skip(f"{page}: {station} is not in EAVEWELL_SHARED_DATA")
    return found.read_bytes() if REAL[page].endswith(".gz") else gzip.decompress(found.read_bytes())


def _brought(page, record):
    """The real record where the page has it, as the network would bring it."""
    Path(REAL[page]).parent.mkdir(parents=True, exist_ok=True)
    Path(REAL[page]).write_bytes(record)


@pytest.mark.parametrize("page", PAGES, ids=_called)
def test_every_example_of_the_page_runs(page, fences, prepared, tmp_path, monkeypatch, request):
    """What is shown is what works; the seconds of each page are kept with its result."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "88")
    name, blocks, _python.names = _called(page), fences.blocks(page), {}
    record = _real(name)
    prepared.get(name, lambda page: None)(page)
    start = time.perf_counter()
    if record is not None and "/" not in REAL[name]:
        _brought(name, record)
    for block in blocks:
        _tried(block, name, fences, record)
    request.node.user_properties.append(("seconds", round(time.perf_counter() - start, 2)))


def _tried(block, page, fences, record):
    if block.name:
        Path(block.name).parent.mkdir(parents=True, exist_ok=True)
        Path(block.name).write_text(block.text, encoding="utf-8")
    for words in block.commands:
        if fences.is_usage(words) or set(words[1:3]) & {*STAYS, *NETWORK}:
            _usage(words)
            if record is not None and "station" in words:
                _brought(page, record)
            continue
        status, said = _run(words)
        assert status in (0, 3), f"{' '.join(words)}\n{said}"
    if block.kind == "python":
        _python(block.text, page)
    if block.kind == "toml":
        tomllib.loads(block.text)


@pytest.mark.parametrize("page", PAGES, ids=_called)
def test_every_command_within_a_sentence_is_there(page, fences):
    """It stands in the help, with each of its options."""
    for words in fences.inline(page):
        _usage(words)


def test_nothing_is_shown_in_a_kind_that_is_not_run(fences):
    """Every block says what it is; plain ones hold commands or what a command prints."""
    known = {"", "sh", "console", "python", "toml", "math", "csv", "json"}
    for page in PAGES:
        for block in fences.blocks(page):
            assert block.kind in known, f"{_called(page)}: {block.kind}"
