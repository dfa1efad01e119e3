"""What came back from a visit beside what the site file says, and the text with it taken."""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from eavewell.faults import BadQuantity, BadSite, EavewellFault, Fault
from eavewell.files.field.block import Block, Brought
from eavewell.files.field.first_parts import begun
from eavewell.files.field.items import BETWEEN, Item
from eavewell.files.field.questioned import questions
from eavewell.files.site.edit import changed_text
from eavewell.files.site.reader import site_of_text
from eavewell.files.site.toml_splices import standing_at
from eavewell.files.toml_text import said_in
from eavewell.units import read
from eavewell.web.desk import OnDesk
from eavewell.web.forms import as_written

Told = dict[str, tuple[Fault, ...]]


@dataclass(frozen=True, slots=True)
class Compared:
    """One item beside the site file.

    state : "new", "same", "questioned", "refused", or "noted" where no field holds it.
    says  : why it is questioned or refused. item : None where the sheet has no such item.
    """

    brought: Brought
    item: Item | None
    state: str
    says: tuple[str, ...] = ()

    @property
    def present(self) -> str:
        """What the site file says."""
        return self.item.value if self.item else ""


def compared(
    shown: OnDesk, block: Block, *, items: Mapping[str, Item], booked_m: Mapping[str, float]
) -> list[Compared]:
    """Every item that came back, in the order of the sheet.

    Raises BadSite where the site file cannot be read at all.
    """
    if shown.raw is None:
        says = (
            "The site file cannot be read as it stands: mend it first, then bring the sheet again."
        )
        raise BadSite(Fault(says, file=str(shown.folder.file)))
    met = [(one, _item_of(one, items)) for one in block.items]
    wanted = {one.id: (item, one.value) for one, item in met if item and one.value}
    _, refused = with_values(shown, wanted)
    return [_one(brought, item, refused=refused, booked_m=booked_m) for brought, item in met]


def _one(
    brought: Brought,
    item: Item | None,
    *,
    refused: Mapping[str, str],
    booked_m: Mapping[str, float],
) -> Compared:
    if item is None:
        says = "The site has no such part any more, or it has another name by now."
        return Compared(brought, None, "refused", (says,))
    if not brought.value or item.field is None:
        return Compared(brought, item, "noted")
    if brought.id in refused:
        return Compared(brought, item, "refused", (refused[brought.id],))
    if brought.value == item.value:
        return Compared(brought, item, "same")
    asked = tuple(questions(item, brought, booked_m=booked_m))
    return Compared(brought, item, "questioned" if asked else "new", asked)


def _item_of(brought: Brought, items: Mapping[str, Item]) -> Item | None:
    """The item of that name on the same part, also where parts stand in another order by now."""
    found = items.get(brought.id)
    if found and found.of == brought.of:
        return found
    kind = _without_rows(brought.id)
    likes = (one for one in items.values() if one.of == brought.of and one.of)
    return next((one for one in likes if _without_rows(one.id) == kind), None)


def _without_rows(name: str) -> str:
    return re.sub(r"-[0-9]+(?=-)", "-", name)


def with_values(
    shown: OnDesk, wanted: Mapping[str, tuple[Item, str]], *, only: Collection[str] | None = None
) -> tuple[str, dict[str, str]]:
    """The text of the site file with values taken, and why each other one cannot be.

    only : the names that are taken; None for all. One value may need another one: what is refused
    at first is tried once more at the end.
    """
    text, refused, told = shown.text, dict[str, str](), Told()
    left = {name: one for name, one in wanted.items() if only is None or name in only}
    for _ in range(2):
        refused = {}
        for name, (item, value) in left.items():
            text, says = _with_value(text, item, value=value, shown=shown, told=told)
            if says:
                refused[name] = says
        left = {name: left[name] for name in refused}
    return text, refused


def _with_value(text: str, item: Item, *, value: str, shown: OnDesk, told: Told) -> tuple[str, str]:
    """The text with one value taken, or as it was and why the value cannot be.

    What is new may be no fault of the file that was not there before; a part that is begun with
    the value still needs others, and of it only the value itself can be refused.
    """
    file, raw = str(shown.folder.file), said_in(text)
    try:
        before = begun(text, raw, way=item.address, file=file)
        tried = changed_text(before, item.address, value=_written(item, value), file=file)
    except EavewellFault as refused:
        return text, refused.faults[0].says
    known = {one.says for one in _faults(before, shown, told=told)}
    new = (one for one in _faults(tried, shown, told=told) if one.says not in known)
    if not _was_there(item, shown):
        new = (one for one in new if one.address[: len(item.address)] == item.address)
    says = next((one.says for one in new), "")
    return (text, says) if says else (tried, "")


def _written(item: Item, value: str) -> object:
    if item.field is None:
        raise BadQuantity("No field of the site file holds that.")
    if item.field.quantity == "distances":
        read(value, "length")
        return value
    cells = value.split(BETWEEN.strip()) if BETWEEN.strip() in value else [value]
    return as_written([one.strip() for one in cells], item.field)


def _was_there(item: Item, shown: OnDesk) -> bool:
    """Whether every part on the way to the item stands in the file as it is."""
    ways = (item.address[:at] for at, step in enumerate(item.address, 1) if isinstance(step, int))
    return all(standing_at(shown.raw, way) is not None for way in ways)


def _faults(text: str, shown: OnDesk, *, told: Told) -> tuple[Fault, ...]:
    """The faults of a text, which is read once."""
    if text not in told:
        told[text] = ()
        try:
            site_of_text(text, file=str(shown.folder.file), folder=str(shown.folder.path))
        except EavewellFault as refused:
            told[text] = refused.faults
    return told[text]
