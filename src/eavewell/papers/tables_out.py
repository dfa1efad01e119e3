"""Lists as csv: the order with its parts, and the labels."""

import csv
from collections.abc import Iterable, Mapping, Sequence
from io import StringIO
from typing import Any

from eavewell.site.label import Label

PART_COLUMNS = ("stand", "where", "part", "called", "size", "count", "unit", "spares")
ORDER_COLUMNS = ("part", "called", "size", "count", "unit", "spares", "stock_pieces", "joins")
LABEL_COLUMNS = ("file", "says", "count", "where", "counted", "letters_mm", "source")


def parts_csv(answer: Mapping[str, Any]) -> str:
    """Every part where it stands, cut lengths in m, longest first."""
    rows = [
        [part[column] for column in PART_COLUMNS]
        + [" ".join(f"{length:.3f}" for length in part["lengths_m"]), part["joins"], part["says"]]
        for part in answer["cost"]["parts"]
    ]
    return _csv((*PART_COLUMNS, "lengths_m", "joins", "says"), rows)


def order_csv(answer: Mapping[str, Any]) -> str:
    """The same parts as one order, spares beside the count."""
    rows = [[part[column] for column in ORDER_COLUMNS] for part in answer["cost"]["order"]]
    return _csv(ORDER_COLUMNS, rows)


def labels_csv(labels: Mapping[str, Label]) -> str:
    """Every label by its file, with how many and how they were counted."""
    rows = [
        [
            file,
            " / ".join((*label.head, *([label.more] if label.more else []))),
            label.count,
            "; ".join(label.where),
            "; ".join(label.counted),
            f"{label.letters_mm:g}",
            label.source,
        ]
        for file, label in labels.items()
    ]
    return _csv(LABEL_COLUMNS, rows)


def _csv(columns: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    page = StringIO()
    writer = csv.writer(page, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([_cell(cell) for cell in row] for row in rows)
    return page.getvalue()


def _cell(cell: Any) -> Any:
    """Nothing for None; a count without figures that nobody measured; no name as a formula."""
    if isinstance(cell, str) and cell.startswith(("=", "+", "-", "@", "\t")):
        return f"'{cell}"
    if isinstance(cell, float):
        return f"{cell:.3f}".rstrip("0").rstrip(".")
    return "" if cell is None else cell
