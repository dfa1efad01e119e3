"""Hooks of mkdocs: pages that come from the tables, our letters, equations as MathML.

`make docs` calls them. The tables and the gallery are the one copy: nothing of these pages is kept.
"""

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from html import escape
from pathlib import Path
from typing import Any

from latex2mathml.converter import convert
from mkdocs.structure.files import File

import eavewell
from eavewell.answers.schema import keys, layouts
from eavewell.tables import sources
from eavewell.web.fonts import FACES, face

HOME = Path(__file__).parents[1]
TABLES = Path(eavewell.__file__).parent / "tables"
# beside the values: written as pages of their own, or layouts
APART = ("fields", "answers", "words")
EQUATION = re.compile(r"^```math\n(.*?)^```$", re.MULTILINE | re.DOTALL)
TABLE = re.compile(r"<table>.*?</table>", re.DOTALL)
# a table of so many columns is read row by row on a telephone
MANY_COLUMNS = 4


def on_files(files: Any, config: Any) -> Any:
    """Add what is written from the tables, the gallery's scripts and the letters."""
    for name, content in {**written(), **letters()}.items():
        files.append(File.generated(config, name, content=content))
    return files


def on_page_markdown(markdown: str, **_: Any) -> str:
    """Turn each ```math block into MathML, which browsers show without a script."""
    return EQUATION.sub(
        lambda found: f'<div class="equation">{convert(found[1].strip(), display="block")}</div>',
        markdown,
    )


def on_page_content(html: str, **_: Any) -> str:
    """Set each table in a frame that scrolls; the keyboard reaches what scrolls."""
    return TABLE.sub(lambda found: framed(found[0]), html).replace("<pre>", '<pre tabindex="0">')


def framed(table: str) -> str:
    """A table in its frame; where it has many columns each cell knows its head."""
    heads = re.findall(r"<th[^>]*>(.*?)</th>", table)
    if len(heads) < MANY_COLUMNS:
        return f'<div class="wide" tabindex="0">{table}</div>'
    # the first cell heads its row
    tags = ["", "<td>", *(f'<td data-head="{escape(head)}">' for head in heads[1:])]
    rows = (part.split("<td>") for part in table.split("<tr>"))
    told = "<tr>".join("".join(map("".join, zip(tags, row, strict=False))) for row in rows)
    return f'<div class="wide by-row" tabindex="0">{told}</div>'


def written() -> dict[str, str]:
    """The pages that come from the tables and from the gallery, by name."""
    return {
        "reference/values.md": values_page(),
        "reference/sources.md": sources_page(),
        "reference/json.md": json_page(),
        "gallery.md": gallery_page(),
    }


def letters() -> dict[str, bytes]:
    """The letters of the pages in the browser."""
    return {f"letters/{name}": face(name) for name in FACES}


def as_table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """One table in Markdown; no sign of a cell means anything to it."""
    lines = [head, ["---"] * len(head), *([plain(cell) for cell in row] for row in rows)]
    return "".join(f"| {' | '.join(line)} |\n" for line in lines) + "\n"


def plain(text: str) -> str:
    """Text as it stands, whatever signs it holds."""
    return re.sub(r"([\\`*_\[\]|])", r"\\\1", escape(text, quote=False)).replace("\n", " ")


def values_page() -> str:
    """Every table of published values."""
    return "".join(_values())


def _values() -> Iterator[str]:
    yield "# Published values\n\nEvery number that Eavewell takes from elsewhere, with its source "
    yield "and where in it; keys as in [the sources](sources.md).\n\n"
    for file in sorted(TABLES.rglob("*.csv")):
        if file.relative_to(TABLES).parts[0] in APART:
            continue
        head, *rows = csv.reader(file.read_text(encoding="utf-8").splitlines())
        yield f"## {file.stem.replace('_', ' ')}\n\n{as_table(head, rows)}"


def sources_page() -> str:
    """Every source with how its values were come by."""
    rows = [
        (key, *(str(source[field]) for field in ("title", "year", "mark")))
        for key, source in sorted(sources().items())
    ]
    return f"# Sources\n\n{as_table(('key', 'title', 'year', 'mark'), rows)}"


JSON_HEAD = """# The answers as JSON

Every command that answers takes `--json FILE`, `-` for the screen. Units are SI and stand in the
names. `eavewell schema` prints the layout as a JSON schema, so that a program can check what it
reads. A `?` behind a type: may be null, which means unknown. `[]` marks a list.

"""


def json_page() -> str:
    """Every key of every answer with its type, unit and meaning."""
    head = ("key", "type", "unit", "meaning")
    parts = [JSON_HEAD]
    for name in layouts():
        rows = [tuple(row[column] for column in head) for row in keys(name)]
        parts.append(f"## {name}\n\nSchema `eavewell-{name}/1`.\n\n{as_table(head, rows)}")
    return "".join(parts)


GALLERY_HEAD = """# Gallery

Short scripts to begin from. Each stands in `examples/gallery/` and runs as it is; rain and sites
are invented.

"""


def gallery_page() -> str:
    """Every script of the gallery as it stands; its first line is its title."""
    parts = [GALLERY_HEAD]
    for script in sorted((HOME / "examples" / "gallery").glob("*.py")):
        text = script.read_text(encoding="utf-8")
        title = text.splitlines()[0].strip('"').rstrip(".")
        parts.append(f"## {title}\n\n`examples/gallery/{script.name}`\n\n```python\n{text}```\n\n")
    return "".join(parts)
