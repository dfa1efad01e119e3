"""Papers and permits, from their part of the site file."""

from itertools import pairwise

from eavewell.files.site.parts import Part
from eavewell.site.permission import PaperDone, Permission


def permission_of(part: Part | None) -> Permission:
    """What was done about papers; nothing known where the file has none."""
    if part is None:
        return Permission()
    _check_days(part)
    papers = tuple(
        PaperDone(one["name"], one["done"], one["by"] or "")
        for one in part["papers"]
        if one["name"] is not None
    )
    _check_papers(part, papers)
    return Permission(
        authority=part["authority"] or "",
        purchase=part["purchase"],
        building=part["building"],
        use=part["use"],
        papers=papers,
    )


def _check_days(part: Part) -> None:
    """Nothing is built before it is bought, or used before it is built."""
    known = [name for name in ("purchase", "building", "use") if part[name] is not None]
    for first, then in pairwise(known):
        if part[then] < part[first]:
            part.fault(f"{then} begins on {part[then]}, before {first} on {part[first]}.", then)


def _check_papers(part: Part, papers: tuple[PaperDone, ...]) -> None:
    names = [paper.name for paper in papers]
    for name in dict.fromkeys(names):
        if names.count(name) > 1:
            part.fault(f"the paper '{name}' is named twice.", "papers")
