"""A changed gutter run as fields of the site file."""

from eavewell.hydraulics.eaves import EaveRun
from eavewell.site.finding import Change
from eavewell.site.gutter import Downspout, Gutter
from eavewell.site.place import Show
from eavewell.units import show

_NO_SPOUT = Downspout()
_GUTTER = {"width": "width_mm", "depth": "depth_mm"}
_SPOUT = {
    "spout_bore": "bore_mm",
    "spout_width": "width_mm",
    "spout_depth": "depth_mm",
    "outlet": "outlet_mm",
    "into": "into_mm",
}


def gutter_changes(run: EaveRun, after: Gutter, *, system: Show) -> tuple[Change, ...]:
    """What of a run the file should say otherwise, in the units that the site shows."""
    before = run.gutter
    way = ("roof", run.roof, "gutter", before.name)
    old, new = before.downspout or _NO_SPOUT, after.downspout or _NO_SPOUT
    sizes = [
        *((field, getattr(before, of), getattr(after, of)) for field, of in _GUTTER.items()),
        *((field, getattr(old, of), getattr(new, of)) for field, of in _SPOUT.items()),
    ]
    changed = tuple(
        ((*way, field), show(now_mm, "bore", system=system))
        for field, was_mm, now_mm in sizes
        if now_mm is not None and now_mm != was_mm
    )
    spouts = () if before.spouts == after.spouts else (((*way, "spouts"), after.spouts),)
    return (*changed, *spouts)
