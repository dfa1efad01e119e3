"""A screen or filter that water passes before the store."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Screen:
    """A screen.

    kept_share : share of the water that goes on to the store; the rest leaves with the leaves.
    clean_l_s  : flow it passes when clean; None unknown.
    mesh_mm    : its openings; None unknown.
    """

    name: str
    kept_share: float
    clean_l_s: float | None = None
    mesh_mm: float | None = None
