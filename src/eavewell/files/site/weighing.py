"""What may be built otherwise, from its part of the site file."""

from eavewell.files.site.parts import Part
from eavewell.site.weighing import Weighing


def weighing_of(part: Part | None) -> Weighing:
    """What an owner is ready to change; nothing stated where the file has none."""
    if part is None:
        return Weighing()
    for name in ("fixtures", "gardens"):
        if any(share <= 0.0 for share in part[name] or ()):
            part.fault(f"{name}: a share of nothing leaves no use: take the use out instead.", name)
    for name in ("each", "roofs"):
        if any(size <= 0.0 for size in part[name] or ()):
            part.fault(f"{name}: no size may be nothing.", name)
    return Weighing(
        tank=part["tank"] or "",
        each_l=part["each"] or (),
        counts=part["counts"] or (),
        roofs_m2=part["roofs"] or (),
        fixtures=part["fixtures"] or (),
        gardens=part["gardens"] or (),
        rations=bool(part["rations"]),
    )
