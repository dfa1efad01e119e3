"""What two papers tell together: whether sums of few roofs may be found from the lines of both."""

from typing import TYPE_CHECKING

from eavewell.district.grouped import smallest_group

if TYPE_CHECKING:
    import polars

LINES = ("district", "record")


def may_tell_few(before: "polars.DataFrame", now: "polars.DataFrame") -> bool:
    """Whether figures of few roofs, or how they changed, may follow from two papers.

    before, now : as `figures_told` finds them. Roofs are put together by the lines that hold them
    in either paper, and those apart of which both tell other figures. Where each such cell holds
    none or enough roofs, so does every sum and difference of lines, as it is one of whole cells.
    Each figure at each size is looked at by itself: what changes for all hides nothing.
    """
    import polars

    both = before.join(now, on="id", how="full", coalesce=True, suffix=" now")
    held = [*LINES, *(f"{line} now" for line in LINES)]
    cells = [both.group_by(held).len()]
    for kind in (one for one in before.columns if "@" in one and one in now.columns):
        otherwise = both.filter(polars.col(kind) != polars.col(f"{kind} now"))
        cells.append(otherwise.group_by(held).len())
    return any(bool((one["len"] < smallest_group()).any()) for one in cells)
