"""Change one field of a site file and keep everything else of it, comments included."""

import os
import shutil
import tempfile
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from eavewell.faults import BadSite, Fault
from eavewell.files.site.field_values import near
from eavewell.files.site.reader import site_of_text, text_of
from eavewell.files.site.toml_lines import Address
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
    """Write a text beside its file and rename it, so that a file is never half written."""
    handle, beside = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
            out.write(text)
        if file.exists():
            shutil.copymode(file, beside)
        Path(beside).replace(file)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def changed_text(text: str, address: Address, *, value: object, file: str = "") -> str:
    """The text of a site file with one field set, or taken out where value is None.

    Raises BadSite where there is no place for the field.
    """
    if not address or not isinstance(address[-1], str):
        raise BadSite(Fault(f"{_way(address)} does not name a field.", file=file))
    try:
        document = tomlkit.parse(text)
        within: Any = document
        for row, step in enumerate(address[:-1]):
            within = _step(within, step, way=_way(address[: row + 1]), file=file)
        _put(within, address[-1], value=value, way=_way(address), file=file)
        return tomlkit.dumps(document)
    except (TOMLKitError, TypeError, ValueError) as refused:
        raise BadSite(Fault(f"{_way(address)} cannot be set: {refused}.", file=file)) from None


def _step(within: Any, step: str | int, *, way: str, file: str) -> Any:
    if isinstance(within, list):
        names = tuple(str(one["name"]) for one in within if "name" in one)
        row = names.index(step) if step in names else step
        if isinstance(row, int) and 0 <= row < len(within):
            return within[row]
        raise BadSite(Fault(f"There is no {way} in the file: {near(str(step), names)}", file=file))
    if isinstance(within, dict) and step in within:
        return within[step]
    raise BadSite(Fault(f"There is no {way} in the file.", file=file))


def _put(within: Any, name: str, *, value: object, way: str, file: str) -> None:
    if not isinstance(within, dict):
        raise BadSite(Fault(f"{way} does not name a field.", file=file))
    if value is not None:
        within[name] = value
    elif within.pop(name, None) is None:
        raise BadSite(Fault(f"There is no {way} in the file.", file=file))


def _way(address: Address) -> str:
    return ".".join(str(step) for step in address) or "an empty address"
