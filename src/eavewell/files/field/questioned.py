"""What somebody should look at again before a value from a visit is taken."""

from collections.abc import Iterator, Mapping

from eavewell.faults import BadQuantity
from eavewell.files.field.block import Brought
from eavewell.files.field.booked import level_in_words
from eavewell.files.field.items import Item
from eavewell.tables import table
from eavewell.units import quantities, read

_MM_PER_M = 1000.0


def questions(
    item: Item, brought: Brought, *, booked_m: Mapping[str, float] | None = None
) -> Iterator[str]:
    """Sentences; none where nothing is odd.

    booked_m : the level of each point by the level book.
    """
    if brought.was != item.value:
        yield f"The site file said '{brought.was or 'nothing'}' when the sheet was made."
    if brought.how == "guessed":
        yield "It is a guess."
    quantity = item.field.quantity if item.field else ""
    if quantity not in quantities():
        return
    try:
        found = read(brought.value, quantity)
    except BadQuantity:
        return
    book = (booked_m or {}).get(item.point) if item.is_level else None
    if book is not None and abs(found - book) > _limit("book apart") / _MM_PER_M:
        yield f"The level book gives {level_in_words(book)}."
    if item.value:
        yield from _far(found, item.value, quantity=quantity)


def _limit(name: str) -> float:
    return table("field_levels")[name].value


def _far(found: float, said: str, *, quantity: str) -> Iterator[str]:
    try:
        present = read(said, quantity)
    except BadQuantity:
        return
    if quantity == "level":
        if abs(found - present) > _limit("level questioned") / _MM_PER_M:
            yield f"It is more than 2 ft (0.6 m) from {said}, which the site file says."
        return
    small, large = sorted((abs(found), abs(present)))
    if large > _limit("size questioned") * small:
        yield f"It is more than twice, or less than half, of {said}, which the site file says."
