"""Parts of a site file added, taken out, put in another order; the rest of the text stays."""

import re
from collections.abc import Iterator, Mapping, Sequence

from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import Sheet, header, way_text
from eavewell.files.site.toml_values import key_text, pair_text, value_text

Change = tuple[int, int, str]
_COMMA = re.compile(r"(?:[ \t\n]|#[^\n]*)*?,")


def with_part(
    text: str, address: Address, *, fields: Mapping[str, object], file: str = ""
) -> tuple[str, Address]:
    """The text with one more item in a list of tables, after its likes; and the item's address.

    address : of the list, such as ("tank",) or ("line", 0, "outlets").
    Raises BadSite where no list can stand there.
    """
    sheet = Sheet.of(text, file=file)
    way = sheet.rows(address)
    there = sheet.at(way)
    if not isinstance(there, list | None) or not isinstance(way[-1], str):
        raise sheet.refuse(f"{way_text(way)} is no list of parts.")
    row = len(there or ())
    if span := sheet.span(way):
        changes = _in_brackets(sheet, way, span=span, item=value_text(fields))
    elif len(way) > 1 and (braces := sheet.span(way[:-1])):
        changes = (sheet.in_braces(braces, pair=f"{key_text(way[-1])} = {value_text([fields])}"),)
    else:
        changes = (_as_block(sheet, way, row=row, fields=fields),)
    return sheet.spliced(*changes), (*way, row)


def _as_block(sheet: Sheet, way: Address, *, row: int, fields: Mapping[str, object]) -> Change:
    lines = "\n".join(pair_text(key, value) for key, value in fields.items())
    piece = f"{header(way, item=True)}\n{lines}\n"
    around = [(*way, row - 1)] if row else [way[:length] for length in range(len(way) - 1, 0, -1)]
    likes = next((found for one in around if (found := sheet.regions(one))), [])
    if not likes:
        return sheet.at_end(piece)
    at = likes[-1][1]
    if at == len(sheet.text):
        return sheet.at_end(piece)
    return at, at, f"\n{piece}" + ("" if sheet.text[at] == "\n" else "\n")


def _in_brackets(
    sheet: Sheet, way: Address, *, span: tuple[int, int], item: str
) -> tuple[Change, ...]:
    start, end = span
    rows = len(sheet.at(way))
    if not rows:
        plain = not sheet.text[start + 1 : end - 1].strip()
        return ((start, end, f"[{item}]") if plain else (start + 1, start + 1, f"\n  {item},"),)
    first, last = sheet.spans.elements[(*way, rows - 1)]
    comma = _COMMA.match(sheet.text, last, end)
    line = sheet.line_start(first)
    if line <= start:
        at = comma.end() if comma else last
        return ((at, at, f" {item}" if comma else f", {item}"),)
    indent = sheet.text[line:first] if not sheet.text[line:first].strip() else "  "
    at = min(sheet.line_end(max(last, comma.end() if comma else last)), end - 1)
    gap = "" if sheet.text[at - 1] == "\n" else "\n"
    added = (at, at, f"{gap}{indent}{item},\n")
    return (added,) if comma else ((last, last, ","), added)


def without_part(text: str, address: Address, *, file: str = "") -> str:
    """The text without one part: an item of a list or a table, with the comments of its own.

    Its own are those within it, on its lines, and right above or below it without an empty line.
    Raises BadSite where there is none.
    """
    sheet = Sheet.of(text, file=file)
    return without(sheet, sheet.rows(address))


def without(sheet: Sheet, way: Address) -> str:
    """The same for a text that is read already; way : an address by rows."""
    if way in sheet.spans.elements:
        return sheet.spliced(_element_out(sheet, way))
    changes = [_closed_up(sheet, one[0], end=one[1]) for one in sheet.regions(way)]
    changes += [
        sheet.without_pair(pair, comments=True)
        for one, pair in sheet.spans.pairs.items()
        if one[: len(way)] == way and len(pair.within) < len(way)
    ]
    if not way or not changes:
        raise sheet.refuse(f"There is no {way_text(way)} in the file.")
    return sheet.spliced(*changes)


def _closed_up(sheet: Sheet, start: int, *, end: int) -> Change:
    """A stretch taken out; of the empty lines around it one stays."""
    above = sheet.text[:start]
    if not above or above.endswith("\n\n"):
        while end < len(sheet.text) and sheet.text[end] == "\n":
            end += 1
    return start, end, ""


def _element_out(sheet: Sheet, way: Address) -> Change:
    lines = _lines_of(sheet, way)
    if lines is None:
        return sheet.without_item(*sheet.spans.elements[way], opens="[")
    return (*lines, "")


def _lines_of(sheet: Sheet, way: Address) -> tuple[int, int] | None:
    """The lines of an item of a list in brackets with its comments; None if others share them."""
    start, end = sheet.spans.elements[way]
    opened, closed = sheet.spans.elements.get(way[:-1]) or sheet.span(way[:-1]) or (0, 0)
    before = sheet.spans.elements.get((*way[:-1], int(way[-1]) - 1))
    after = sheet.spans.elements.get((*way[:-1], int(way[-1]) + 1))
    comma = _COMMA.match(sheet.text, end, closed)
    stops = sheet.line_end(comma.end() if comma else end)
    floor = sheet.line_end(before[1] if before else opened)
    if sheet.line_start(start) < floor or stops > (after[0] if after else closed - 1):
        return None
    return sheet.comments_above(start, floor=floor), stops


def moved_part(text: str, address: Address, *, to: int, file: str = "") -> str:
    """The text with one item of a list at another row of it, counted from 0 among the items.

    Raises BadSite where there is no such item or row.
    """
    sheet = Sheet.of(text, file=file)
    way = sheet.rows(address)
    items = sheet.at(way[:-1])
    if not isinstance(items, list) or not 0 <= to < len(items):
        raise sheet.refuse(f"{way_text(way)} cannot be moved there.")
    sheet = _with_last_comma(sheet, way[:-1])
    order = [row for row in range(len(items)) if row != way[-1]]
    order.insert(to, int(way[-1]))
    return sheet.spliced(*_in_order(sheet, way[:-1], order=order))


def _with_last_comma(sheet: Sheet, way: Address) -> Sheet:
    span, last = sheet.span(way), sheet.spans.elements.get((*way, len(sheet.at(way)) - 1))
    if span is None or last is None or _COMMA.match(sheet.text, last[1], span[1]):
        return sheet
    return Sheet.of(sheet.spliced((last[1], last[1], ",")), file=sheet.file)


def _in_order(sheet: Sheet, way: Address, *, order: Sequence[int]) -> Iterator[Change]:
    stretches = _stretches(sheet, way, rows=len(order))
    for row, other in enumerate(order):
        first, *others = stretches[row]
        if row != other:
            told = "\n".join(sheet.text[start:end] for start, end in stretches[other])
            ends = sheet.text[slice(*first)].endswith("\n") and not told.endswith("\n")
            yield (*first, told + "\n" * ends)
            yield from ((*one, "") for one in others)


def _stretches(sheet: Sheet, way: Address, *, rows: int) -> list[list[tuple[int, int]]]:
    """Where each item stands, with its own comments where all have lines of their own."""
    if (*way, 0) not in sheet.spans.elements:
        return [sheet.regions((*way, row)) for row in range(rows)]
    lines = [_lines_of(sheet, (*way, row)) for row in range(rows)]
    if all(lines):
        return [[one] for one in lines if one]
    return [[sheet.spans.elements[(*way, row)]] for row in range(rows)]
