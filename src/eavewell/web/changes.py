"""Changes to a site file from a page: one at a time under the desk's lock, each can be undone."""

from collections.abc import Mapping, Sequence

from eavewell.faults import BadSite, EavewellFault, Fault
from eavewell.files.site.edit import changed_text
from eavewell.files.site.edit_names import renamed
from eavewell.files.site.edit_parts import moved_part, with_part, without_part
from eavewell.files.site.fields import Field, fields
from eavewell.files.site.reader import text_brought
from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import standing_at
from eavewell.web.addresses import field_of, part_named
from eavewell.web.desk import OnDesk, site_as_said
from eavewell.web.forms import said
from eavewell.web.site_folders import SiteFolder
from eavewell.web.undo import history, kept_and_written, stepped


def with_change(before: OnDesk, way: Address, *, value: object) -> str:
    """Why one field cannot be set; "" where it can.

    Only its own value can be refused: what else the file still needs is said on the page.
    """
    try:
        text = _with_value(before, way, value=value)
        text_brought(text.encode("utf-8"), file=str(before.folder.file))
    except EavewellFault as refused:
        return refused.faults[0].says
    if value is None:
        return ""
    try:
        site_as_said(text, before.folder)
    except EavewellFault as refused:
        faulty = (one.says for one in refused.faults if one.address[: len(way)] == way)
        return next(faulty, "").removeprefix(f"{way[-1]}: ")
    return ""


def changed(before: OnDesk, way: Address, *, value: object) -> None:
    """Set one field, or take it out; a name is changed wherever the file says it."""
    write(before, _with_value(before, way, value=value))


def changed_together(before: OnDesk, changes: Mapping[Address, object]) -> None:
    """Set several fields as one change; None takes one out, where it stands in the file."""
    text, file = before.text, before.folder.file
    for way, value in changes.items():
        if value is not None or standing_at(before.raw, way) is not None:
            text = changed_text(text, way, value=value, file=str(file))
    write(before, text)


def meanwhile(
    before: OnDesk, way: Address, *, was: str, of: str, version: str = ""
) -> tuple[str, str] | None:
    """What the file says by now instead of what the page showed, and why; None where it is that.

    was, of, version : what the field said, the names of its parts, and the version of the file
                       when the page was shown.
    """
    raw = before.raw or {}
    now = said(standing_at(raw, way), field_of(way))
    if version != before.version and part_named(raw, way) != of:
        return now, "The parts of the file stand in another order by now: load the page again."
    if now != was:
        return now, "The file was changed by something else meanwhile."
    return None


def added(before: OnDesk, way: Address) -> Address:
    """Add a part to a list, called by the first name that is free; its address."""
    field = field_of(way)
    text, made = with_part(before.text, way, fields=_begun(before, field, way=way))
    write(before, text)
    return made


def copied(before: OnDesk, way: Address) -> Address:
    """Add a part like another one; its address."""
    like = standing_at(before.raw, way)
    if not isinstance(like, dict) or not isinstance(way[-1], int):
        raise BadSite(Fault("There is no such part any more.", file=str(before.folder.file)))
    said_there = dict(like)
    if isinstance(like.get("name"), str):
        said_there["name"] = _free_name(before, way[:-1], stem=like["name"])
    text, made = with_part(before.text, way[:-1], fields=said_there)
    write(before, text)
    return made


def taken_out(before: OnDesk, way: Address) -> None:
    """Take a part out, with the comments of its own."""
    write(before, without_part(before.text, way, file=str(before.folder.file)))


def shifted(before: OnDesk, way: Address, *, by: int) -> None:
    """Move a part up or down among its likes."""
    to = int(way[-1]) + by if way and isinstance(way[-1], int) else -1
    write(before, moved_part(before.text, way, to=to, file=str(before.folder.file)))


def write(before: OnDesk, text: str) -> None:
    """Write a text in place of the one that the desk has read, and keep both for undo.

    Raises BadSite where something else has changed the file in this very moment.
    """
    folder = before.folder
    if text == before.text:
        return
    if before.text and folder.text() != before.text:
        says = "The file was changed by something else in this moment: load the page again."
        raise BadSite(Fault(says, file=str(folder.file)))
    kept_and_written(folder, text.encode("utf-8"))


def undone(folder: SiteFolder) -> bool:
    """Take the last change back; False where there is none."""
    return stepped(folder, -1)


def redone(folder: SiteFolder) -> bool:
    """Do the change again that was taken back last; False where there is none."""
    return stepped(folder, 1)


def history_of(folder: SiteFolder) -> dict[str, bool]:
    """Whether something can be undone or done again."""
    past = history(folder)
    return {"undo": past.beside(-1) > 0, "redo": past.beside(1) > 0}


def _with_value(before: OnDesk, way: Address, *, value: object) -> str:
    file = str(before.folder.file)
    there = standing_at(before.raw, way)
    if value is None and there is None:
        return before.text
    if way[-1] == "name" and len(way) > 1 and isinstance(value, str) and isinstance(there, str):
        return renamed(before.text, way[:-1], name=value, file=file)
    return changed_text(before.text, way, value=value, file=file)


def _begun(before: OnDesk, field: Field, *, way: Address) -> dict[str, object]:
    """What a new part says at once: its name, where parts of its kind have one."""
    if "name" not in fields()[field.inner]:
        return {}
    return {"name": _free_name(before, way, stem=field.name.replace("_", " "))}


def _free_name(before: OnDesk, way: Address, *, stem: str) -> str:
    taken = _names(before.raw)
    if stem not in taken:
        return stem
    stem = stem.rstrip("0123456789").rstrip() or stem
    return next(free for row in range(2, 10_000) if (free := f"{stem} {row}") not in taken)


def _names(raw: object) -> set[str]:
    if isinstance(raw, Mapping):
        own = {raw["name"]} if isinstance(raw.get("name"), str) else set()
        return own.union(*(_names(one) for one in raw.values()))
    if isinstance(raw, Sequence) and not isinstance(raw, str):
        return set[str]().union(*(_names(one) for one in raw))
    return set()
