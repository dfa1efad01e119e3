"""A workbook: sheets with a frozen head, made to be printed, numbers live and words plain."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from io import BytesIO
from textwrap import wrap
from types import MappingProxyType
from typing import Any, Literal

Look = Literal[
    "text",
    "number",
    "whole",
    "money",
    "title",
    "note",
    "head",
    "head right",
    "sum",
    "sum words",
    "blank",
]
# a cell holds no longer text, a footer less
LONGEST, FOOT = 32_000, 90
HEAD_ROW = 3
_EDGE: dict[str, Any] = {"bottom": 1, "bottom_color": "#c9c0ad", "valign": "top"}
_HEAD: dict[str, Any] = {"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 2}
_LOOKS: Mapping[str, dict[str, Any]] = MappingProxyType(
    {
        "text": _EDGE | {"text_wrap": True, "align": "left", "indent": 1},
        "number": _EDGE | {"num_format": "#,##0.0#"},
        "whole": _EDGE | {"num_format": "#,##0"},
        "money": _EDGE | {"num_format": "#,##0.00"},
        "blank": _EDGE | {"num_format": "#,##0.00", "bg_color": "#fbf7ec"},
        "title": {"bold": True, "font_size": 13},
        "note": {"italic": True, "font_color": "#5a6468"},
        "head": _HEAD | {"align": "left", "indent": 1},
        "head right": _HEAD | {"align": "right"},
        "sum": {"bold": True, "num_format": "#,##0.00", "top": 1},
        "sum words": {"bold": True, "top": 1},
    }
)


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula with the value that it has now; a program that does not reckon shows that."""

    says: str
    value: float | str


Cell = str | float | Formula | None


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a sheet: its head, its width in letters, how its cells look."""

    head: str
    wide: float
    look: Look = "text"


@dataclass(frozen=True, slots=True)
class Page:
    """One sheet. sums : rows below the others, each with as many cells as there are columns."""

    name: str
    title: str
    note: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    sums: tuple[tuple[Cell, ...], ...] = field(default_factory=tuple)


def first_row() -> int:
    """Number of the first row below the head, as a formula counts it."""
    return HEAD_ROW + 2


def letter(at: int) -> str:
    """Letters of a column, the first being 0."""
    left, last = divmod(at, 26)
    return (letter(left - 1) if left else "") + chr(65 + last)


def book(pages: Sequence[Page], *, site: str, day: date, system: str) -> bytes:
    """The workbook as bytes; two runs of one day are equal.

    system : "us" prints on Letter, else on A4. Words never become formulas or addresses.
    """
    from xlsxwriter import Workbook

    page = BytesIO()
    plain = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with Workbook(page, plain) as made:
        made.set_properties({"title": site[:200], "created": datetime.combine(day, time())})
        looks = {
            name: made.add_format({"font_name": "Arial", "font_size": 9} | look)
            for name, look in _LOOKS.items()
        }
        for one in pages:
            _fill(made.add_worksheet(one.name), one, looks=looks)
            _print_set(made.get_worksheet_by_name(one.name), one, site=site, system=system)
    return page.getvalue()


def _fill(sheet: Any, page: Page, *, looks: dict[str, Any]) -> None:
    put = _writer(sheet, looks)
    put((0, 0), page.title, look="title")
    put((1, 0), page.note, look="note")
    for row, cells in enumerate(page.rows, HEAD_ROW + 1):
        sheet.set_row(row, _high(page, cells))
    for at, column in enumerate(page.columns):
        sheet.set_column(at, at, column.wide)
        put((HEAD_ROW, at), column.head, look="head" if column.look == "text" else "head right")
        for row, cells in enumerate(page.rows, HEAD_ROW + 1):
            put((row, at), cells[at], look=column.look)
        for row, cells in enumerate(page.sums, HEAD_ROW + 1 + len(page.rows)):
            put((row, at), cells[at], look="sum words" if isinstance(cells[at], str) else "sum")


def _high(page: Page, cells: tuple[Cell, ...]) -> float:
    """Height of a row in points, so that its longest cell shows every line."""
    lines = (
        len(wrap(cell[:LONGEST], max(1, int(1.3 * column.wide))))
        for cell, column in zip(cells, page.columns, strict=True)
        if isinstance(cell, str)
    )
    return min(400.0, 12.5 * max(1, *lines, 1))


def _writer(sheet: Any, looks: dict[str, Any]) -> Callable[..., None]:
    def put(where: tuple[int, int], cell: Cell, *, look: Look) -> None:
        number = cell.value if isinstance(cell, Formula) else cell
        if (
            look == "number"
            and isinstance(number, float | int)
            and abs(number - round(number)) < 1e-9
        ):
            look = "whole"
        if cell is None:
            sheet.write_blank(*where, None, looks[look])
        elif isinstance(cell, Formula):
            sheet.write_formula(*where, cell.says, looks[look], cell.value)
        elif isinstance(cell, str):
            sheet.write_string(*where, cell[:LONGEST], looks[look])
        else:
            sheet.write_number(*where, cell, looks[look])

    return put


def _print_set(sheet: Any, page: Page, *, site: str, system: str) -> None:
    sheet.freeze_panes(HEAD_ROW + 1, 1)
    sheet.repeat_rows(HEAD_ROW)
    sheet.set_landscape()
    sheet.set_paper(1 if system == "us" else 9)
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.6)
    named = " ".join(site.split())[:FOOT].replace("&", "&&")
    sheet.set_footer(f"&L&8{named}: {page.name}&R&8&P of &N")
