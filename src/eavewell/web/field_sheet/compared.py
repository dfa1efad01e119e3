"""What came back from a visit beside what the site file says, and the text with it taken."""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from eavewell.faults import BadQuantity, BadSite, EavewellFault, Fault
from eavewell.files.field.block import Block, Brought
from eavewell.files.field.items import BETWEEN, Item
from eavewell.files.field.questioned import questions
from eavewell.files.site.edit import changed_text
from eavewell.files.site.reader import site_of_text
from eavewell.units import read
from eavewell.web.desk import OnDesk
from eavewell.web.forms import as_written


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
    text, refused = shown.text, dict[str, str]()
    told = _faults(text, shown)
    left = {name: one for name, one in wanted.items() if only is None or name in only}
    for _ in range(2):
        refused = {}
        for name, (item, value) in left.items():
            tried, says = _tried(text, item, value=value, shown=shown)
            says = says or next(iter(_faults(tried, shown) - told), "")
            if says:
                refused[name] = says
            else:
                text = tried
        left = {name: left[name] for name in refused}
    return text, refused


def _tried(text: str, item: Item, *, value: str, shown: OnDesk) -> tuple[str, str]:
    """The text with one value, and why there is none."""
    try:
        written = _written(item, value)
        return changed_text(text, item.address, value=written, file=str(shown.folder.file)), ""
    except EavewellFault as refused:
        return text, refused.faults[0].says


def _written(item: Item, value: str) -> object:
    if item.field is None:
        raise BadQuantity("No field of the site file holds that.")
    if item.field.quantity == "distances":
        read(value, "length")
        return value
    cells = value.split(BETWEEN.strip()) if BETWEEN.strip() in value else [value]
    return as_written([one.strip() for one in cells], item.field)


def _faults(text: str, shown: OnDesk) -> set[str]:
    try:
        site_of_text(text, file=str(shown.folder.file), folder=str(shown.folder.path))
    except EavewellFault as refused:
        return {one.says for one in refused.faults}
    return set()
