"""A workbook: sheets with a frozen head, made to be printed, numbers live and words plain."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from io import BytesIO
from types import MappingProxyType
from typing import Any, Literal

Look = Literal[
    "text",
    "number",
    "whole",
    "money",
    "share",
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
# letters about half as wide as a digit
SLIM, NARROW = frozenset(" fijlrtI.,:;'()/-"), 0.5
LETTER: Mapping[str, Any] = MappingProxyType({"font_name": "Arial", "font_size": 9})
_EDGE: dict[str, Any] = {"bottom": 1, "bottom_color": "#c9c0ad", "valign": "top"}
_HEAD: dict[str, Any] = {"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 2}
_LOOKS: Mapping[str, dict[str, Any]] = MappingProxyType(
    {
        "text": _EDGE | {"text_wrap": True, "align": "left", "indent": 1},
        "number": _EDGE | {"num_format": "#,##0.0#"},
        "whole": _EDGE | {"num_format": "#,##0"},
        "share": _EDGE | {"num_format": "0.0%"},
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
    """One sheet.

    sums : rows below the others, each with as many cells as there are columns. printed : so many
    columns go on paper, from the left; 0 for all. upright : the paper stands and does not lie.
    """

    name: str
    title: str
    note: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    sums: tuple[tuple[Cell, ...], ...] = field(default_factory=tuple)
    printed: int = 0
    upright: bool = False


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
    plain: dict[str, Any] = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        # columns are as wide as so many digits of this letter
        "default_format_properties": dict(LETTER),
    }
    with Workbook(page, plain) as made:
        made.set_properties({"title": site[:200], "created": datetime.combine(day, time())})
        looks = {name: made.add_format({**LETTER, **look}) for name, look in _LOOKS.items()}
        for one in pages:
            _fill(made.add_worksheet(one.name), one, looks=looks)
            _print_set(made.get_worksheet_by_name(one.name), one, site=site, system=system)
    return page.getvalue()


def _fill(sheet: Any, page: Page, *, looks: dict[str, Any]) -> None:
    put = _writer(sheet, looks)
    put((0, 0), page.title, look="title")
    put((1, 0), page.note, look="note")
    heads = [column.head for column in page.columns]
    for row, cells in enumerate((heads, *page.rows), HEAD_ROW):
        sheet.set_row(row, _high(page, cells))
    for at, column in enumerate(page.columns):
        sheet.set_column(at, at, column.wide)
        put((HEAD_ROW, at), column.head, look="head" if column.look == "text" else "head right")
        for row, cells in enumerate(page.rows, HEAD_ROW + 1):
            put((row, at), cells[at], look=column.look)
        for row, cells in enumerate(page.sums, HEAD_ROW + 1 + len(page.rows)):
            put((row, at), cells[at], look="sum words" if isinstance(cells[at], str) else "sum")


def _high(page: Page, cells: Iterable[Cell]) -> float:
    """Height of a row in points, so that its longest cell shows every line."""
    lines = (
        _lines(cell[:LONGEST], wide=column.wide - 1.5)
        for cell, column in zip(cells, page.columns, strict=True)
        if isinstance(cell, str)
    )
    return min(400.0, 12.5 * max((1, *lines)))


def _lines(text: str, *, wide: float) -> int:
    """Lines that a text breaks into; wide : of one, in digits."""
    lines, used = 1, 0.0
    for word in text.split():
        room = sum(NARROW if letter in SLIM else 1.0 for letter in word)
        if used and used + NARROW + room > wide:
            lines, used = lines + 1, 0.0
        lines += int(room // wide)
        used += room % wide + (NARROW if used else 0.0)
    return lines


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
    if not page.upright:
        sheet.set_landscape()
    sheet.set_paper(1 if system == "us" else 9)
    last = HEAD_ROW + len(page.rows) + len(page.sums)
    sheet.print_area(0, 0, last, (page.printed or len(page.columns)) - 1)
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.6)
    named = " ".join(site.split())[:FOOT].replace("&", "&&")
    sheet.set_footer(f"&L&8{named}: {page.name}&R&8&P of &N")
