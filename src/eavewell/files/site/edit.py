"""Change one field of a site file and keep everything else of it, comments included."""

import os
import shutil
import tempfile
from pathlib import Path

from eavewell.faults import BadSite, Fault
from eavewell.files.site.edit_parts import without
from eavewell.files.site.reader import site_of_text, text_of
from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import Sheet, header, way_text
from eavewell.files.site.toml_values import key_text, pair_text, value_text
from eavewell.site.site import Site


def set_field(path: Path | str, address: Address, *, value: object) -> Site:
    """Set one field of a site file, or take it out, and return the site it then describes.

    address : the way down to the field, such as ("tank", "main", "each"); an item of a list goes
              by its name or by its row, counted from 0.
    value   : what the file should say, such as "2,600 gal"; None takes the field out.
    Raises BadSite where the result would be faulty; the file is then left as it was.
    """
    file = Path(path).resolve()
    text = changed_text(text_of(file), address, value=value, file=str(path))
    site = site_of_text(text, file=str(path), folder=str(file.parent))
    write_beside(file, text)
    return site


def write_beside(file: Path, text: str) -> None:
    """Write a text beside its file and rename it: whole at any moment, on the disk at the end."""
    write_bytes_beside(file, text.encode("utf-8"))


def write_bytes_beside(file: Path, data: bytes) -> None:
    """The same for bytes."""
    handle, beside = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        if file.exists():
            shutil.copymode(file, beside)
        Path(beside).replace(file)
        _settle(file.parent)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def _settle(folder: Path) -> None:
    """Have the renaming itself on the disk, where the system lets a folder be opened."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def changed_text(text: str, address: Address, *, value: object, file: str = "") -> str:
    """The text of a site file with one field set, or taken out where value is None.

    The tables on the way to it are made where they are not there; the last field of a table in
    braces takes the table with it.
    Raises BadSite where there is no place for the field.
    """
    if not address or not isinstance(address[-1], str):
        raise BadSite(Fault(f"{way_text(address)} does not name a field.", file=file))
    sheet = Sheet.of(text, file=file)
    way = sheet.rows(address)
    if value is None:
        if sheet.at(way) is None:
            raise sheet.refuse(f"There is no {way_text(address)} in the file.")
        return _taken_out(sheet, way)
    try:
        written = value_text(value)
    except TypeError as refused:
        raise sheet.refuse(f"{way_text(way)} cannot be set: {refused}.") from None
    if span := sheet.span(way):
        return sheet.spliced((*span, written))
    if sheet.at(way) is not None:
        raise sheet.refuse(f"{way_text(way)} is a table, not a field.")
    return sheet.spliced(_added(sheet, way, value=value))


def _taken_out(sheet: Sheet, way: Address) -> str:
    while len(way) > 1 and way[:-1] in sheet.spans.pairs and len(sheet.at(way[:-1])) == 1:
        way = way[:-1]
    if pair := sheet.spans.pairs.get(way):
        return sheet.spliced(sheet.without_pair(pair))
    return without(sheet, way)


def _added(sheet: Sheet, way: Address, *, value: object) -> tuple[int, int, str]:
    """The change that writes a key which is not there yet."""
    within, key = way[:-1], str(way[-1])
    if not isinstance(sheet.at(within), dict | None):
        raise sheet.refuse(f"{way_text(way)} does not name a field.")
    if within and (span := sheet.span(within)):
        return sheet.in_braces(span, pair=f"{key_text(key)} = {value_text(value)}")
    line = pair_text(key, value)
    if block := sheet.block_of(within):
        return _in_block(sheet, block.last, line=line)
    if beside := _dotted(sheet, within):
        below, at, inline = beside
        keys = ".".join(key_text(step) for step in way[len(below) :])
        pair = f"{keys} = {value_text(value)}"
        return (at, at, f", {pair}") if inline else sheet.line_after(at, pair)
    if inner := sheet.blocks_of(within):
        at = sheet.own_start(inner[0])
        return at, at, f"{header(within)}\n{line}\n\n"
    if len(within) == 1:
        return sheet.at_end(f"{header(within)}\n{line}\n")
    return _added(sheet, within, value={key: value})


def _in_block(sheet: Sheet, last: int, *, line: str) -> tuple[int, int, str]:
    if last:
        return sheet.line_after(last, line)
    if len(sheet.spans.blocks) == 1:
        return sheet.line_after(len(sheet.text), line)
    at = sheet.own_start(1)
    return at, at, f"{line}\n\n"


def _dotted(sheet: Sheet, within: Address) -> tuple[Address, int, bool] | None:
    """Where keys with dots open a table: the table they are written in, their end, in braces."""
    found = [
        (one.within, one.end, one.inline)
        for way, one in sheet.spans.pairs.items()
        if way[: len(within)] == within and len(one.within) < len(within)
    ]
    return max(found, key=lambda one: one[1]) if found else None
