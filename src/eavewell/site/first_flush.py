"""The first flush: the dirty start of a rain, led away."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FirstFlush:
    """A diverter given by depth on the roof or by volume; exactly one is set.

    depth_mm       : depth over the roof's plan area.
    volume_l       : volume of the standpipe or box.
    reset_dry_days : dry days after which it is empty again, from its drain time.
    bleed_l_h      : flow lost through its drain while it rains; 0 for a closed valve.
    bore_mm        : bore of its standpipe; None unknown.
    drain_l_h      : flow that empties it after the rain; None unknown.
    """

    depth_mm: float | None = None
    volume_l: float | None = None
    reset_dry_days: int = 3
    bleed_l_h: float = 0.0
    bore_mm: float | None = None
    drain_l_h: float | None = None
