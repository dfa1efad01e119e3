"""Papers set as PDF: data in, bytes out, the same bytes for the same day."""

import json
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from functools import cache
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from eavewell.drawings.letters import refuse_missing
from eavewell.papers.paper import Paper, plain

STANDARDS = ("a-2b", "ua-1")
_PACKAGES = ("fontpkg_spectral", "fontpkg_fira_sans")


def pdf(paper: Paper) -> bytes:
    """One paper as PDF/A-2b and PDF/UA-1; its day is the document's date.

    Raises EavewellFault for letters that the fonts lack.
    """
    pictures: dict[str, str] = {}
    data = plain(paper, pictures)
    refuse_missing(_texts(data["blocks"]))
    refuse_missing((paper.title, paper.site, paper.record, *paper.lead))
    with TemporaryDirectory() as folder:
        root = Path(folder)
        house = files("eavewell.papers.typeset").joinpath("house.typ").read_text("utf-8")
        written = {"house.typ": house, "data.json": json.dumps(data), **pictures}
        for file, text in written.items():
            (root / file).write_text(text, "utf-8")
        stamp = datetime(paper.day.year, paper.day.month, paper.day.day, tzinfo=UTC)
        made = _typesetter(folder).compile(
            root / "house.typ", format="pdf", pdf_standards=list(STANDARDS), timestamp=stamp
        )
    assert isinstance(made, bytes)
    return made


def pdfs(papers: Iterable[Paper]) -> dict[str, bytes]:
    """Many papers by file name, set side by side, which shortens the wait."""
    with ThreadPoolExecutor() as hands:
        made = {f"{paper.name}.pdf": hands.submit(pdf, paper) for paper in papers}
        return {name: one.result() for name, one in made.items()}


def _texts(found: Any) -> Iterator[str]:
    """Every text in plain data, keys apart."""
    if isinstance(found, str):
        yield found
    elif isinstance(found, Mapping):
        for value in found.values():
            yield from _texts(value)
    elif isinstance(found, list):
        for value in found:
            yield from _texts(value)


def _typesetter(root: str) -> Any:
    import typst

    return typst.Compiler(root=root, font_paths=_fonts(), ignore_system_fonts=True)


@cache
def _fonts() -> Any:
    import typst

    folders = [str(files(package).joinpath("files")) for package in _PACKAGES]
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)
