"""Changes to a site file from a page: one field or part at a time, each of which can be undone."""

from collections.abc import Mapping
from pathlib import Path

from eavewell.faults import EavewellFault
from eavewell.files.site.edit import changed_text, write_beside
from eavewell.files.site.reader import site_of_text
from eavewell.files.site.toml_lines import Address
from eavewell.web.desk import OnDesk
from eavewell.web.site_folders import SiteFolder


def with_change(before: OnDesk, way: Address, *, value: object, was: str) -> str:
    """Why one field cannot be set; "" where it can."""
    text = changed_text(before.text, way, value=value, file=str(before.folder.file))
    try:
        site_of_text(text, file=str(before.folder.file), folder=str(before.folder.path))
    except EavewellFault as refused:
        return next((one.says for one in refused.faults if one.address == way), "")
    return ""


def changed(before: OnDesk, way: Address, *, value: object) -> None:
    """Set one field, or take it out, and keep the text as it was for undo."""
    file = before.folder.file
    write_beside(file, changed_text(before.text, way, value=value, file=str(file)))


def changed_together(before: OnDesk, changes: Mapping[Address, object]) -> None:
    """Set several fields as one change; None takes one out, where it stands in the file."""
    text, file = before.text, before.folder.file
    for way, value in changes.items():
        if value is not None or _stands(before.raw, way):
            text = changed_text(text, way, value=value, file=str(file))
    write_beside(file, text)


def _stands(raw: object, way: Address) -> bool:
    for step in way:
        if not isinstance(raw, Mapping) or step not in raw:
            return False
        raw = raw[step]
    return True


def history_of(folder: SiteFolder) -> dict[str, bool]:
    """Whether something can be undone or done again."""
    return {"undo": False, "redo": False}


def _kept(folder: SiteFolder) -> Path:
    return folder.path / ".undo"
