"""Changes to a site file from a page: one field or part at a time, each of which can be undone."""

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


def history_of(folder: SiteFolder) -> dict[str, bool]:
    """Whether something can be undone or done again."""
    return {"undo": False, "redo": False}


def _kept(folder: SiteFolder) -> Path:
    return folder.path / ".undo"
