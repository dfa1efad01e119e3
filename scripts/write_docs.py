"""Write the reference pages that come from the tables: values, fields of the site file, sources.

Run as `python scripts/write_docs.py [FOLDER]`; the pages are not kept, the tables are the one copy.
"""

import csv
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

import eavewell
from eavewell.tables import sources

TABLES = Path(eavewell.__file__).parent / "tables"


def as_table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """One table in Markdown."""
    lines = [head, ["---"] * len(head), *rows]
    return "".join(f"| {' | '.join(cell.replace('|', '/') for cell in line)} |\n" for line in lines)


def csv_section(file: Path) -> str:
    """A heading and every row of one csv."""
    head, *rows = csv.reader(file.read_text(encoding="utf-8").splitlines())
    return f"## {file.stem.replace('_', ' ')}\n\n{as_table(head, rows)}"


def page(title: str, files: Iterable[Path]) -> str:
    """A page of several csv files."""
    return "\n".join([f"# {title}\n", *(csv_section(file) for file in sorted(files))])


def sources_page() -> str:
    """Every source with how its values were come by."""
    rows = [
        (key, *(str(source[field]) for field in ("title", "year", "mark")))
        for key, source in sorted(sources().items())
    ]
    return f"# Sources\n\n{as_table(('key', 'title', 'year', 'mark'), rows)}"


def main(folder: Path) -> None:
    """Write the pages into a folder and say where."""
    folder.mkdir(parents=True, exist_ok=True)
    fields = set((TABLES / "fields").rglob("*.csv"))
    pages = {
        "values.md": page("Published values", set(TABLES.rglob("*.csv")) - fields),
        "site-file.md": page("Fields of the site file", fields),
        "sources.md": sources_page(),
    }
    for name, text in pages.items():
        (folder / name).write_text(text, encoding="utf-8")
        print(f"Written: {folder / name}")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "out/docs"))
